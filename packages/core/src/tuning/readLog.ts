import { OptionError } from '../errors.js'
import { parseRollOut } from '../workshop/gearing.js'
import { COMMON_HEAD_LIMIT_C, HEAD_LIMIT_C } from '../workshop/heat.js'
import { parseQuantity, parseShare } from '../workshop/parseQuantity.js'
import { parseChange, parseKnobValue, sameValue } from './change.js'
import { checkHeat, checkTrials, checkValues } from './checkEntries.js'
import { type EngineMeasure, readMeasure } from './engineRanges.js'
import { findKnob } from './knobs.js'
import { LogError } from './logError.js'
import type { LogFile, TrialEntry } from './logSchema.js'
import { type ParsedLog, parseLog } from './parseLog.js'
import { saidTrouble } from './saidTrouble.js'
import { earlierName, knobOfSetting } from './setting.js'
import { squishAt } from './squish.js'
import { timingWarnings } from './timing.js'
import { parseTrouble } from './trouble.js'
import type {
  Change,
  EngineBuild,
  KnobValue,
  LoggedClip,
  LogWarning,
  Setting,
  Trial,
  Trouble,
  TuningLog,
} from './types.js'

/** A log and what is odd about how it is written. */
export interface ReadLog {
  readonly log: TuningLog
  readonly warnings: readonly LogWarning[]
}

/**
 * Reads a tuning log.
 *
 * @param text the YAML file
 * @throws {LogError} with line and column, see {@link parseLog}; also for a quantity that cannot be read or cannot be, a
 *   clip that is there twice, and a trial that says nothing
 */
export function readLog(text: string): ReadLog {
  const parsed = parseLog(text)
  const warnings: LogWarning[] = closingLineWarnings(parsed)
  const engine = readEngine(parsed)
  checkTrials(parsed)
  const trials = readTrials(parsed, engine, warnings)
  warnings.push(...timingWarnings(trials), ...undoneWarnings(parsed))
  return {
    log: { engine, trials, undone: parsed.file.undone?.length ?? 0, unit: unitOf(parsed.file) },
    warnings,
  }
}

/** The unit most temperatures of the file are written in. */
function unitOf({ engine, trials }: LogFile): 'C' | 'F' {
  const written = [engine.headLimit, ...trials.flatMap(({ air, head }) => [air, head])].map(String)
  const count = (letter: string) =>
    written.filter((text) => new RegExp(`${letter}\\s*$`, 'i').test(text)).length
  return count('F') > count('C') ? 'F' : 'C'
}

function closingLineWarnings({ closing, file }: ParsedLog): LogWarning[] {
  if (closing === null) {
    const message = `the closing line “# End of log: ${file.trials.length} trials.” is missing: the file may be cut off; compare it with the backup beside it (.bak)`
    return [{ code: 'unsealed', trial: null, message }]
  }
  const counted = closing.trials === file.trials.length && closing.undone === (file.undone?.length ?? 0)
  if (closing.unchanged && counted) return []
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
  const measure = (name: EngineMeasure, fits: (value: number) => void = () => {}) =>
    at(name, (text) => {
      const value = readMeasure(name, text)
      fits(value)
      return value
    })
  const limit = at('headLimit', (text) => {
    const { value } = parseQuantity(text, 'temperature')
    if (value >= HEAD_LIMIT_C[0] && value <= HEAD_LIMIT_C[1]) return value
    throw new OptionError(
      'out-of-range',
      `a head limit of ${text} cannot be`,
      `it lies between ${HEAD_LIMIT_C[0]} and ${HEAD_LIMIT_C[1]} °C`,
    )
  })
  const boreMm = measure('bore')
  const strokeMm = measure('stroke')
  const rodMm = measure('rod', (rod) => {
    if (strokeMm === null || rod > strokeMm / 2) return
    throw new OptionError(
      'out-of-range',
      `“${file.engine.rod}” is no longer than half the stroke (${file.engine.stroke}), so the crank could not turn`,
      'measure it between the centres of its eyes',
    )
  })
  const shaftMm = measure('shaft')
  const keyWidthMm = measure('key', (key) => {
    if (shaftMm === null || key < shaftMm) return
    throw new OptionError(
      'out-of-range',
      `“${file.engine.key}” is no narrower than the shaft (${file.engine.shaft})`,
      'write the width of the key, as in 3 mm',
    )
  })
  return {
    name: String(file.engine.name),
    boreMm,
    strokeMm,
    rodMm,
    shaftMm,
    keyWidthMm,
    rotation: file.engine.rotation ?? null,
    primary: measure('primary'),
    sprockets: at('sprockets', readTeeth),
    rollOut: at('wheel', (text) => parseRollOut(text)),
    slip: at('slip', readSlip) ?? 0,
    flywheelMm: measure('flywheel'),
    notches: file.engine.notches ?? 5,
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

function readTrials(parsed: ParsedLog, engine: EngineBuild, warnings: LogWarning[]): Trial[] {
  let setting = readSettings(parsed)
  warnings.push(...sameKnobWarnings(parsed))
  checkValues(parsed, setting, engine.notches)
  const trials: Trial[] = []
  parsed.file.trials.forEach((entry, i) => {
    const warn = (code: LogWarning['code'], message: string) =>
      warnings.push({ code, trial: entry.trial, message })
    const before = parsed.file.trials[i - 1]
    // Days as the schema has them, year first, sort as text.
    if (before && entry.date < before.date)
      warn(
        'date-before',
        `its day, ${entry.date}, is before that of trial ${before.trial}, ${before.date}: correct the wrong one with everyrev log edit --date`,
      )
    const changes = readChanges(entry, i, parsed, warn)
    for (const { knob, from } of changes) {
      const stood = setting.get(knob)
      if (from && stood && !sameValue(from, stood) && !isSquishLeft(knob, from, trials))
        warn('from-differs', `${knob} is changed from ${from.text}, but stood at ${stood.text} before`)
    }
    setting = new Map([...setting, ...changes.map(({ knob, to }) => [knob, to] as const)])
    const airC = readTemperature(entry, i, 'air', parsed)
    const headC = readTemperature(entry, i, 'head', parsed)
    checkHeat(entry, i, airC, headC, parsed)
    const heard = (entry.heard ?? []).map((h) => ({ ...h, clip: String(h.clip) }))
    trials.push({
      number: entry.trial,
      date: entry.date,
      changes,
      setting,
      clips: listed(entry.clips),
      heard,
      airC,
      headC,
      warm: entry.engine === undefined ? null : entry.engine === 'warm',
      pull: entry.pull ?? null,
      pullFirst: entry.pullFirst ?? null,
      trouble: troubleOf(entry),
      runningIn: entry.runningIn ?? false,
      underPull: entry.pulling === undefined ? pullingOf(heard) : entry.pulling === 'skips',
      noise: words(entry.noise),
      load: words(entry.load),
      weather: words(entry.weather),
      note: words(entry.note),
      line: parsed.placeOf(['trials', i]).line,
    })
  })
  return trials
}

function troubleOf({ trouble }: TrialEntry): Trouble | null {
  return trouble === undefined ? null : parseTrouble(String(trouble))
}

/** Trouble of trials that were taken back: nothing counts it, so what made it may be suggested once more. */
function undoneWarnings({ file }: ParsedLog): LogWarning[] {
  return (file.undone ?? []).flatMap((entry): LogWarning[] => {
    const trouble = troubleOf(entry)
    const said = saidTrouble({ trouble, noise: words(entry.noise), note: words(entry.note) })?.text
    const told = trouble === null ? said : trouble.kind === 'none' ? undefined : trouble.words
    if (told === undefined) return []
    const message = `trial ${entry.trial} of ${entry.date} was taken back with its trouble, “${told}”, so its setting may be suggested again: put it back with everyrev log redo, or where it was never ridden delete it under undone`
    return [{ code: 'undone-trouble', trial: null, message }]
  })
}

/** True for the squish as a thinner gasket has left it, which the log need not have been told. */
function isSquishLeft(knob: string, from: KnobValue, trials: readonly Trial[]): boolean {
  const last = trials.at(-1)
  if (knob !== 'squish' || !last) return false
  return sameValue(from, { text: '', value: squishAt({ log: { trials } }, last.setting) })
}

/** Settings that overwrite one of the same knob; a log that has them was read before anybody looked, so they stop nothing. */
function sameKnobWarnings({ file, placeOf }: ParsedLog): LogWarning[] {
  const settings = Object.entries(file.settings ?? {})
  const names = settings.map(([name]) => name)
  return settings.flatMap(([name, written], i): LogWarning[] => {
    const earlier = earlierName(names, i)
    if (earlier === undefined) return []
    const { line, column } = placeOf(['settings', name])
    const message = `line ${line}, column ${column}: “${earlier}” and “${name}” are one knob, ${knobOfSetting(name)}, and only the last counts, ${written}: keep one of them`
    return [{ code: 'same-knob', trial: null, message }]
  })
}

/** Where a knob stood that the log turns without saying from where: it is another setting than what it was turned to. */
const NOT_WRITTEN: KnobValue = { text: 'as it was, not written', value: null }

/** Settings before trial 1: as listed, and where a knob is not, the first value it is changed from. */
function readSettings({ file, placeOf }: ParsedLog): Setting {
  const setting = new Map<string, KnobValue>()
  for (const entry of file.trials)
    for (const text of listed(entry.change)) {
      const change = tryChange(text)
      if (change && !setting.has(change.knob)) setting.set(change.knob, change.from ?? NOT_WRITTEN)
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
      const several = Array.isArray(entry.change) ? [listed(entry.change).indexOf(text)] : []
      const { line, column } = placeOf(['trials', index, 'change', ...several])
      throw new LogError(line, column, error.message, error.hint)
    }
  })
}

function readTemperature(
  entry: TrialEntry,
  index: number,
  field: 'air' | 'head',
  { placeOf }: ParsedLog,
): number | null {
  const written = entry[field]
  if (written === undefined) return null
  try {
    return parseQuantity(String(written), 'temperature').value
  } catch (error) {
    if (!(error instanceof OptionError)) throw error
    const { line, column } = placeOf(['trials', index, field])
    throw new LogError(line, column, `${field}: ${error.message}`, error.hint)
  }
}

/** Share of skipped turns while pulling from which it skips under pull: the mildest grade of skipping. Chosen. */
const SKIPS_PULLING = 0.06

function pullingOf(heard: readonly LoggedClip[]): boolean | null {
  const shares = heard.flatMap(({ pulling }) => pulling ?? [])
  return shares.length === 0 ? null : shares.some((share) => share > SKIPS_PULLING)
}

function words(entry: string | number | undefined): string | null {
  return entry === undefined ? null : String(entry)
}

/** A list, or one alone. */
function listed(entry: string | number | readonly (string | number)[] | undefined): string[] {
  if (entry === undefined) return []
  return (Array.isArray(entry) ? entry : [entry]).map(String)
}
