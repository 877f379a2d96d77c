import { OptionError } from '../errors.js'
import { parseRollOut } from '../workshop/gearing.js'
import { COMMON_HEAD_LIMIT_C } from '../workshop/heat.js'
import { parseQuantity, parseShare } from '../workshop/parseQuantity.js'
import type { QuantityKind } from '../workshop/types.js'
import { parseChange, parseKnobValue, sameValue } from './change.js'
import { findKnob } from './knobs.js'
import { LogError } from './logError.js'
import type { LogFile, TrialEntry } from './logSchema.js'
import { type ParsedLog, parseLog } from './parseLog.js'
import type { Change, EngineBuild, KnobValue, LogWarning, Setting, Trial, TuningLog } from './types.js'

/** A log and what is odd about how it is written. */
export interface ReadLog {
  readonly log: TuningLog
  readonly warnings: readonly LogWarning[]
}

/**
 * Reads a tuning log.
 *
 * @param text the YAML file
 * @throws {LogError} with line and column, see {@link parseLog}; also for a quantity of the engine that cannot be read
 */
export function readLog(text: string): ReadLog {
  const parsed = parseLog(text)
  const warnings: LogWarning[] = sealWarnings(parsed)
  const engine = readEngine(parsed)
  const trials = readTrials(parsed, warnings)
  return { log: { engine, trials, undone: parsed.file.undone?.length ?? 0 }, warnings }
}

function sealWarnings({ seal, file }: ParsedLog): LogWarning[] {
  if (seal === null) {
    const message = `the closing line “# End of log: ${file.trials.length} trials.” is missing: the file may be cut off; compare it with the backup beside it (.bak)`
    return [{ code: 'unsealed', trial: null, message }]
  }
  const counted = seal.trials === file.trials.length && seal.undone === (file.undone?.length ?? 0)
  if (seal.unchanged && counted) return []
  return [
    {
      code: 'edited',
      trial: null,
      message: 'the file was changed since everyrev last wrote it: all is well if that was you',
    },
  ]
}

function readEngine({ file, placeOf }: ParsedLog): EngineBuild {
  const at = <T>(field: keyof LogFile['engine'], read: (text: string) => T): T | null => {
    const written = file.engine[field]
    if (written === undefined) return null
    try {
      return read(String(written))
    } catch (error) {
      if (!(error instanceof OptionError)) throw error
      const { line, column } = placeOf(['engine', field])
      throw new LogError(line, column, `${field}: ${error.message}`, error.hint)
    }
  }
  const quantity = (kind: QuantityKind) => (text: string) => parseQuantity(text, kind).value
  const limit = at('headLimit', quantity('temperature'))
  return {
    name: String(file.engine.name),
    boreMm: at('bore', quantity('length')),
    strokeMm: at('stroke', quantity('length')),
    rodMm: at('rod', quantity('length')),
    shaftMm: at('shaft', quantity('length')),
    keyWidthMm: at('key', quantity('length')),
    rotation: file.engine.rotation ?? null,
    primary: at('primary', quantity('ratio')),
    sprockets: at('sprockets', readTeeth),
    rollOut: at('wheel', (text) => parseRollOut(text)),
    slip: at('slip', readSlip) ?? 0,
    headLimitC: limit ?? COMMON_HEAD_LIMIT_C,
    limitIsMakers: limit !== null,
  }
}

function readTeeth(text: string): readonly [number, number] {
  const match = /^\s*(\d+)\s*[/:x]\s*(\d+)\s*$/.exec(text)
  if (!match || Number(match[1]) === 0 || Number(match[2]) === 0)
    throw new OptionError(
      'out-of-range',
      `“${text}” is no pair of sprockets`,
      'write engine/wheel, as in 10/44',
    )
  return [Number(match[1]), Number(match[2])]
}

function readSlip(text: string): number {
  const { value } = parseShare(text)
  if (value >= 0 && value < 1) return value
  throw new OptionError('out-of-range', `“${text}” is no share`, 'write it as in 3 %')
}

function readTrials(parsed: ParsedLog, warnings: LogWarning[]): Trial[] {
  let setting = readSettings(parsed)
  return parsed.file.trials.map((entry, i) => {
    const warn = (code: LogWarning['code'], message: string) =>
      warnings.push({ code, trial: entry.trial, message })
    const changes = readChanges(entry, i, parsed, warn)
    for (const { knob, from } of changes) {
      const stood = setting.get(knob)
      if (from && stood && !sameValue(from, stood))
        warn('from-differs', `${knob} is changed from ${from.text}, but stood at ${stood.text} before`)
    }
    setting = new Map([...setting, ...changes.map(({ knob, to }) => [knob, to] as const)])
    const celsius = (field: 'air' | 'head') => readTemperature(entry, field, warn)
    return {
      number: entry.trial,
      date: entry.date,
      changes,
      setting,
      clips: listed(entry.clips),
      heard: (entry.heard ?? []).map((h) => ({ ...h, clip: String(h.clip) })),
      airC: celsius('air'),
      headC: celsius('head'),
      warm: entry.engine === undefined ? null : entry.engine === 'warm',
      pull: entry.pull ?? null,
      note: entry.note === undefined ? null : String(entry.note),
      line: parsed.placeOf(['trials', i]).line,
    }
  })
}

/** Settings before trial 1: as listed, and where a knob is not, the first value it is changed from. */
function readSettings({ file, placeOf }: ParsedLog): Setting {
  const setting = new Map<string, KnobValue>()
  for (const entry of file.trials)
    for (const text of listed(entry.change)) {
      const change = tryChange(text)
      if (change?.from && !setting.has(change.knob)) setting.set(change.knob, change.from)
    }
  for (const [name, written] of Object.entries(file.settings ?? {})) {
    const knob = findKnob(name)?.knob
    try {
      const value = knob ? parseKnobValue(knob, String(written)) : { text: String(written), value: null }
      setting.set(knob?.name ?? name.toLowerCase(), value)
    } catch (error) {
      if (!(error instanceof OptionError)) throw error
      const { line, column } = placeOf(['settings', name])
      throw new LogError(line, column, error.message, error.hint)
    }
  }
  return setting
}

function tryChange(text: string): Change | null {
  try {
    return parseChange(text).change
  } catch {
    return null
  }
}

function readChanges(
  entry: TrialEntry,
  index: number,
  { placeOf }: ParsedLog,
  warn: (code: LogWarning['code'], message: string) => void,
): Change[] {
  return listed(entry.change).map((text) => {
    try {
      const { change, problem } = parseChange(text)
      if (problem) warn(problem.code, problem.message)
      return change
    } catch (error) {
      if (!(error instanceof OptionError)) throw error
      const { line, column } = placeOf(['trials', index, 'change'])
      throw new LogError(line, column, error.message, error.hint)
    }
  })
}

function readTemperature(
  entry: TrialEntry,
  field: 'air' | 'head',
  warn: (code: LogWarning['code'], message: string) => void,
): number | null {
  const written = entry[field]
  if (written === undefined) return null
  try {
    return parseQuantity(String(written), 'temperature').value
  } catch (error) {
    if (!(error instanceof OptionError)) throw error
    warn('unknown-unit', `${field}: ${error.message}; ${error.hint}`)
    return null
  }
}

/** A list, or one alone. */
function listed(entry: string | number | readonly (string | number)[] | undefined): string[] {
  if (entry === undefined) return []
  return (Array.isArray(entry) ? entry : [entry]).map(String)
}
