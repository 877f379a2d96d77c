import { type Document, isMap, isScalar, isSeq, type Node, parseDocument, type YAMLMap, YAMLSeq } from 'yaml'
import { OptionError } from '../errors.js'
import { withClosingLine } from './closingLine.js'
import { LogError } from './logError.js'
import type { LogFile, TrialEntry } from './logSchema.js'
import { type ParsedLog, parseLog } from './parseLog.js'
import { readLog } from './readLog.js'
import { checkSettingNames } from './setting.js'
import { checkTiming } from './timing.js'
import { checkTrouble } from './trouble.js'
import type { LoggedClip } from './types.js'

/** Fields of a new log: the engine as built and what its knobs stand at. */
export interface NewLog {
  readonly engine: LogFile['engine']
  readonly settings: Readonly<Record<string, string>>
}

/** A trial to add; its number and the form of its lists are the log's own affair. */
export interface NewTrial {
  readonly date: string
  readonly change?: readonly string[]
  readonly clips?: readonly string[]
  readonly air?: string
  readonly head?: string
  readonly engine?: 'warm' | 'cold'
  readonly pull?: 'better' | 'same' | 'worse'
  readonly pullFirst?: 'better' | 'same' | 'worse'
  readonly pulling?: 'skips' | 'clean'
  readonly trouble?: string
  readonly runningIn?: boolean
  readonly noise?: string
  readonly load?: string
  readonly weather?: string
  readonly note?: string
  readonly heard?: readonly LoggedClip[]
}

const HEADER = `# Tuning log of one engine, for everyrev. Edit it as you like: comments stay, and everyrev log add writes the rest.
# One change at a time, engine warm, same stretch, same speed. Head limit: the maker's, else 232 °C (450 °F, common
# practice), and stay well below. Local rules on noise and vehicles come first; not sure: ask a qualified mechanic.
`

/**
 * The text of a new log.
 *
 * @throws {OptionError} `conflict` for two settings of one knob; `out-of-range` for what cannot be a setting of its knob
 */
export function newLogText({ engine, settings }: NewLog): string {
  checkSettingNames(Object.keys(settings))
  checkTiming(settings)
  const lines = [
    `${HEADER}everyrevLog: 1`,
    'engine:',
    ...Object.entries(engine).map(([name, value]) => `  ${name}: ${quoted(String(value))}`),
    ...(Object.keys(settings).length > 0
      ? ['', '# What every knob stood at before trial 1.', 'settings:']
      : []),
    ...Object.entries(settings).map(([name, value]) => `  ${quoted(name)}: ${quoted(value)}`),
    '',
    'trials: []',
  ]
  const text = withClosingLine(lines.join('\n'), 0, 0)
  parseLog(text)
  return text
}

/** A JSON string is a YAML string; most texts need no quotes. */
function quoted(text: string): string {
  const isPlain = /^[A-Za-z0-9](?:[^:#"'\\{}[\]&*!|>@`\n]|:(?=\S))*$/.test(text)
  return isPlain && !OTHER_WORDS.test(text) && comesBack(text) ? text : JSON.stringify(text)
}

/** Text here, but no text to programs that read YAML by its version 1.1: truth values and days. */
const OTHER_WORDS = /^(true|false|null|yes|no|on|off|y|n|\d{4}-\d\d?-\d\d?.*)$/i

/** Whether plain text is read as it was written: `70` is, also as a number; `007`, `1e3`, `12.50` and `0x10` are not. */
function comesBack(text: string): boolean {
  const { contents } = parseDocument(text)
  if (!isScalar(contents)) return false
  const { value } = contents
  return (typeof value === 'string' || typeof value === 'number') && String(value) === text
}

/**
 * Adds a trial at the end. Everything else stays, comments and all.
 *
 * @param text the log as it is
 * @returns the log with one trial more, and its closing line renewed
 * @throws {LogError} where the log cannot be read, or has lost its closing line: then nothing may be written over it
 * @throws {OptionError} `out-of-range` where the new trial does not fit, says nothing, or says what cannot be
 */
export function addTrial(text: string, trial: NewTrial): string {
  const parsed = parseLog(text)
  needClosingLine(parsed, text)
  readLog(text)
  if (trial.trouble !== undefined) checkTrouble(trial.trouble)
  checkTiming({}, trial.change)
  const number = parsed.file.trials.length + 1
  const entry = toEntry(number, trial)
  const trials = seqAt(parsed.document, 'trials')
  const node = parsed.document.createNode(entry, { aliasDuplicateObjects: false })
  if (isMap(node)) compact(node)
  node.spaceBefore = number > 1
  trials.flow = false
  trials.items.push(node)
  return withoutPlace(() => written(parsed, number, parsed.file.undone?.length ?? 0))
}

/** The log was sound before, so what does not fit now is the new entry: its place in a file nobody wrote yet helps nobody. */
function withoutPlace(write: () => string): string {
  try {
    return write()
  } catch (error) {
    if (error instanceof LogError) throw new OptionError('out-of-range', error.problem, error.hint)
    throw error
  }
}

/**
 * Takes back the last trial. It is kept under `undone`, so that nothing is lost and a hand can put it back.
 *
 * @returns the new text and the number of the trial
 * @throws {LogError} as {@link addTrial}; also where there is no trial
 */
export function undoTrial(text: string): { readonly text: string; readonly number: number } {
  const parsed = parseLog(text)
  needClosingLine(parsed, text)
  const number = parsed.file.trials.length
  const trials = seqAt(parsed.document, 'trials')
  const node = trials.items.pop()
  if (!node) {
    const { line, column } = parsed.placeOf(['trials'])
    throw new LogError(line, column, 'there is no trial to take back')
  }
  if (!parsed.document.has('undone')) {
    const kept = new YAMLSeq()
    parsed.document.set('undone', kept)
    kept.commentBefore = ' Taken back with everyrev log undo; move an entry up to trials to put it back.'
  }
  const undone = seqAt(parsed.document, 'undone')
  node.spaceBefore = undone.items.length > 0
  undone.items.push(node)
  if (trials.items.length === 0) trials.flow = true
  return { text: written(parsed, number - 1, undone.items.length), number }
}

/**
 * Puts back the trial that was taken back last. It gets the next number.
 *
 * @returns the new text and the number of the trial
 * @throws {LogError} as {@link addTrial}; also where nothing was taken back
 */
export function redoTrial(text: string): { readonly text: string; readonly number: number } {
  const parsed = parseLog(text)
  needClosingLine(parsed, text)
  const number = parsed.file.trials.length + 1
  const undone = parsed.file.undone?.length ?? 0
  const node = undone > 0 ? seqAt(parsed.document, 'undone').items.pop() : undefined
  if (!isMap(node)) {
    const { line, column } = parsed.placeOf(['undone'])
    throw new LogError(line, column, 'there is no trial that was taken back')
  }
  if (undone === 1) parsed.document.delete('undone')
  node.set('trial', number)
  node.spaceBefore = number > 1
  const trials = seqAt(parsed.document, 'trials')
  trials.flow = false
  trials.items.push(node)
  return { text: withoutPlace(() => written(parsed, number, undone - 1)), number }
}

/** Fields of a trial that can be corrected; null takes one out. */
export type TrialCorrection = { readonly [K in keyof Omit<NewTrial, 'clips' | 'heard'>]?: NewTrial[K] | null }

/**
 * Corrects fields of a trial. Comments and all the rest stay.
 *
 * @throws {LogError} as {@link addTrial}
 * @throws {OptionError} `out-of-range` where there is no such trial, or the correction does not fit
 */
export function editTrial(text: string, number: number, correction: TrialCorrection): string {
  const parsed = parseLog(text)
  needClosingLine(parsed, text)
  const count = parsed.file.trials.length
  const node = seqAt(parsed.document, 'trials').items[number - 1]
  if (!isMap(node)) {
    const has = count === 0 ? 'the log has none yet' : `the log has 1 to ${count}`
    throw new OptionError('out-of-range', `there is no trial ${number}: ${has}`)
  }
  if (correction.trouble != null) checkTrouble(correction.trouble)
  checkTiming({}, correction.change ?? [])
  for (const [field, value] of Object.entries(correction)) {
    if (value === null) node.delete(field)
    else node.set(field, Array.isArray(value) && value.length === 1 ? value[0] : value)
  }
  return withoutPlace(() => written(parsed, count, parsed.file.undone?.length ?? 0))
}

function toEntry(trial: number, more: NewTrial): TrialEntry {
  const one = (list: readonly string[] | undefined) => (list?.length === 1 ? list[0] : list)
  const { change, date, clips, heard, ...fields } = more
  const { note, ...others } = fields
  const entry = { trial, date, change: one(change), ...others, note, clips, heard }
  const given = Object.entries(entry).filter(
    ([, value]) => value !== undefined && (value as unknown[])?.length !== 0,
  )
  return Object.fromEntries(given) as TrialEntry
}

/** What a clip said goes on one line. */
function compact(trial: YAMLMap): void {
  const heard = trial.get('heard')
  if (isSeq(heard)) for (const item of heard.items) if (isMap(item)) item.flow = true
}

function seqAt(document: Document, key: string): YAMLSeq<Node> {
  const found = document.get(key, true)
  if (isSeq<Node>(found)) return found
  throw new Error(`${key} is no list`)
}

function needClosingLine({ closing }: ParsedLog, text: string): void {
  if (closing !== null) return
  throw new LogError(
    text.trimEnd().split('\n').length,
    1,
    'the closing line “# End of log: … trials.” is missing, so the file may be cut off and is not written over',
    'compare it with the backup beside it (.bak); if nothing is missing add a last line such as # End of log: 11 trials.',
  )
}

/** The new text, read again to be sure that nothing was lost on the way. */
function written({ document, lineEnd }: ParsedLog, trials: number, undone: number): string {
  const text = withClosingLine(
    document.toString({ lineWidth: 0, flowCollectionPadding: true }),
    trials,
    undone,
  ).replace(/\r*\n/g, lineEnd)
  readLog(text)
  const again = parseLog(text).file
  if (again.trials.length !== trials || (again.undone?.length ?? 0) !== undone)
    throw new Error('a trial was lost while writing')
  return text
}
