import type { Analysis } from '@everyrev/core'
import {
  addTrial,
  bigStepWarnings,
  decodeLog,
  degreesText,
  editTrial,
  historyOf,
  type LoggedClip,
  type LogWarning,
  loggedClip,
  type NewTrial,
  newLogText,
  parseChange,
  parseRules,
  readLog,
  standingOutside,
  type TrialCorrection,
  undoTrial,
} from '@everyrev/core/tuning'
import { addedText } from '../../render/log/addedText.js'
import { bestSentences } from '../../render/log/bestSentences.js'
import { LOG_CAUTION, logHeadline } from '../../render/log/logText.js'
import { shareText, verdictText, whatChanged } from '../../render/log/words.js'
import { sentence } from '../../render/sentence.js'
import { trialsPlot } from '../../report/plots/trials.js'
import type { AddedOutcome, LogOutcome, LogView, TrialEdits, TrialForm } from '../types.js'
import { heardMark } from './answer.js'
import { knownSums } from './knownSums.js'

/** A clip of a trial: what the page knows it by, its name and what was heard. */
export interface NamedAnalysis {
  readonly id: string
  readonly name: string
  readonly analysis: Analysis
}

/** A log of an engine nothing is known of but its name. @throws {LogError} for a name that YAML cannot hold */
export function startLog(engine: string): string {
  const text = newLogText({ engine: { name: engine }, settings: {} })
  readLog(text)
  return text
}

/** @throws {LogError} for bytes that are no log */
export function importLog(bytes: Uint8Array, rules: string): LogOutcome {
  const text = decodeLog(bytes)
  const view = viewLog(text, rules)
  const count = view.trials.length
  return { text, view, said: `Read ${count} ${count === 1 ? 'trial' : 'trials'} of ${view.engine}.` }
}

/** Of the first trial nothing is known but its clips. */
const AS_BUILT: TrialForm = { change: [], air: '', head: '', engine: '', pull: '', trouble: '', note: '' }

/**
 * Adds a trial; into a log without any, the clips from before its change go in first, as the engine as built.
 *
 * @throws {AnalysisError} as {@link addToLog}
 */
export function addTrials(
  text: string,
  form: TrialForm,
  clips: readonly NamedAnalysis[],
  before: readonly NamedAnalysis[],
  date: string,
  rules: string,
): AddedOutcome {
  const isFirst = before.length > 0 && readLog(text).log.trials.length === 0
  if (!isFirst) return addToLog(text, form, clips, date, rules)
  const first = addToLog(text, AS_BUILT, before, date, rules)
  const added = addToLog(first.text, form, clips, date, rules)
  return { ...added, names: new Map([...first.names, ...added.names]) }
}

/** Adds a trial as `log add` does. @throws {AnalysisError} for a change that cannot be read */
export function addToLog(
  text: string,
  form: TrialForm,
  clips: readonly NamedAnalysis[],
  date: string,
  rules: string,
): AddedOutcome {
  for (const change of form.change) parseChange(change)
  const taken = readLog(text).log.trials.flatMap((trial) => trial.clips)
  const named = clips.map((clip) => {
    const name = freshName(clip.name, taken)
    taken.push(name)
    return { ...clip, name }
  })
  const heard = named.flatMap(({ name, analysis }) => loggedClip(name, analysis) ?? [])
  const after = addTrial(text, toTrial(form, named, heard, date))
  const { log } = readLog(after)
  const added = historyOf(log).trials.at(-1)!
  return {
    text: after,
    view: viewLog(after, rules),
    said: `Kept as trial ${added.trial.number}.`,
    spoken: addedText(added, clips.length, Infinity).trim(),
    names: new Map(named.map(({ id, name }) => [id, name])),
  }
}

/** A phone gives the same name to many recordings; the log tells clips by their names. */
function freshName(name: string, taken: readonly string[]): string {
  if (!taken.includes(name)) return name
  for (let n = 2; ; n++) if (!taken.includes(`${name} (${n})`)) return `${name} (${n})`
}

function toTrial(
  { change, ...fields }: TrialForm,
  clips: readonly NamedAnalysis[],
  heard: readonly LoggedClip[],
  date: string,
): NewTrial {
  const written = Object.entries(fields)
    .map(([field, value]) => [field, value.trim()] as const)
    .filter(([, value]) => value !== '')
  return {
    ...(Object.fromEntries(written) as Partial<NewTrial>),
    date,
    ...(change.length > 0 && { change }),
    clips: clips.map(({ name }) => name),
    heard,
  }
}

/** Corrects a trial. @throws {AnalysisError} for what cannot be */
export function editInLog(text: string, number: number, edits: TrialEdits, rules: string): LogOutcome {
  const correction = Object.entries(edits).map(([field, value]) => [field, value.trim() || null])
  const after = editTrial(text, number, Object.fromEntries(correction) as TrialCorrection)
  return { text: after, view: viewLog(after, rules), said: `Corrected trial ${number}.` }
}

export function undoInLog(text: string, rules: string): LogOutcome {
  const { text: after, number } = undoTrial(text)
  return {
    text: after,
    view: viewLog(after, rules),
    said: `Took trial ${number} back. It is kept in the log under “undone”.`,
  }
}

/**
 * The log as the page shows it: the words of `log show`, and what stands beyond the bounds of the rules.
 *
 * @throws {AnalysisError} for a log or rules that cannot be read
 */
export function viewLog(text: string, rules: string): LogView {
  const { log, warnings } = readLog(text)
  const history = historyOf(log)
  const last = log.trials.at(-1)
  const outside = last ? standingOutside(last, parseRules(rules)) : []
  const own = (number: number, more: readonly LogWarning[]) =>
    [...warnings.filter(({ trial }) => trial === number), ...more].map(({ message }) => message)
  return {
    engine: log.engine.name,
    sentences: [logHeadline(history), ...(log.trials.length > 0 ? bestSentences(history) : [])],
    trials: history.trials.map(({ trial, share, againstReference, reference, warnings: more }) => ({
      number: trial.number,
      date: trial.date,
      changed: whatChanged(trial),
      skipped: share ? shareText(share) : trial.warm === false ? 'cold' : '-',
      verdict: againstReference?.change
        ? `${verdictText(againstReference)} against trial ${reference!.number}`
        : '-',
      head: trial.headC === null ? '-' : degreesText(trial.headC, log.unit),
      air: trial.airC === null ? '-' : degreesText(trial.airC, log.unit),
      pull: trial.pull ?? '-',
      engine: trial.warm === null ? '' : trial.warm ? 'warm' : 'cold',
      trouble: trial.trouble?.words ?? null,
      clips: trial.clips,
      marks: trial.heard.map((heard) => heardMark(heard)!),
      note: trial.note,
      warnings: own(trial.number, [...more, ...bigStepWarnings(log, trial)]),
    })),
    stands: Object.fromEntries([...(last?.setting ?? [])].map(([knob, { text }]) => [knob, text])),
    warnings: [...warnings.filter(({ trial }) => trial === null), ...outside].map(({ message }) =>
      sentence(message),
    ),
    caution: LOG_CAUTION,
    sums: knownSums(text),
    chart: log.trials.length > 0 ? trialsPlot(history) : null,
  }
}
