import {
  bestOf,
  degreesText,
  type Effect,
  effectsOf,
  type History,
  type JudgedTrial,
  trialList,
} from '@everyrev/core/tuning'
import type { TextStyle } from '../checkText.js'
import { alignColumns } from '../columns.js'
import { signedText } from '../numbers.js'
import { listItem, paragraphs } from '../paragraphs.js'
import { wrap } from '../wrap.js'
import { bestSentences } from './bestSentences.js'
import { trialPlot } from './plot.js'
import { shareText, stepText, verdictText, whatChanged } from './words.js'

/** The answer of `log show` as text: best setting, trials, plot, effects, warnings. Ends with a line feed. */
export function logText(history: History, { width }: TextStyle): string {
  const best = bestOf(history)
  const numbers = best?.score.trials.map((t) => t.number) ?? []
  const parts = [
    wrap(logHeadline(history), width),
    wrap(bestSentences(history).join(' '), width),
    trialTable(history, width),
    trialPlot(history.trials, numbers, width),
    effectTable(history),
    history.trials.flatMap(trialRemarks).flatMap((line) => listItem(line, width)),
    wrap(LOG_CAUTION, width),
  ]
  return paragraphs(parts)
}

type Unit = History['log']['unit']

/** Said under every log. */
export const LOG_CAUTION =
  'Caution: skipping less is not all. A lean engine runs hot and can seize: the maker’s head limit comes first, and a qualified mechanic where you are not sure.'

/** Engine, how much was ridden, head limit. */
export function logHeadline({ log }: History): string {
  const { engine, trials, undone } = log
  const count = `${trials.length} ${trials.length === 1 ? 'trial' : 'trials'}`
  // A day may have been mistyped, so the first and the last trial need not be the earliest and the latest.
  const days = trials.map(({ date }) => date).sort()
  const [first, last] = [days[0], days.at(-1)]
  const span = first === undefined ? '' : first === last ? `, ${first}` : `, ${first} to ${last}`
  const limit = `Head limit ${degreesText(engine.headLimitC, log.unit)} (${engine.limitIsMakers ? 'the maker’s' : 'common practice, no source'}).`
  return `${engine.name}: ${count}${span}${undone > 0 ? `, ${undone} undone` : ''}. ${limit}`
}

/** The trials as a table; what was changed is broken over lines where it is long. */
function trialTable({ trials, log }: History, width: number): string[] {
  if (trials.length === 0) return []
  const head = ['', 'changed', 'skipped (95 %)', 'vs before', 'vs first', 'head', 'pull']
  const cells = trials.map((judged) => [String(judged.trial.number), ...trialFigures(judged, log.unit)])
  const others = [0, 1, 2, 3, 4, 5].map((c) =>
    Math.max([head[0], ...head.slice(2)][c]!.length, ...cells.map((row) => row[c]!.length)),
  )
  const room = Math.max(18, width - others.reduce((sum, w) => sum + w + 2, 0))
  const rows = trials.flatMap(({ trial }, i) => {
    const [number, ...figures] = cells[i]!
    return wrap(whatChanged(trial), room).map((line, k) =>
      k === 0 ? [number!, line, ...figures] : ['', `  ${line}`, ...figures.map(() => '')],
    )
  })
  return alignColumns([head, ...rows], new Set([0]))
}

/** Share, verdicts, head and pull of a trial, as cells. */
export function trialFigures(
  { trial, share, againstReference, againstBaseline, head }: JudgedTrial,
  unit: Unit,
): string[] {
  return [
    share ? shareText(share) : trial.warm === false ? 'cold' : '-',
    verdictText(againstReference),
    verdictText(againstBaseline),
    trial.headC === null ? '-' : `${degreesText(trial.headC, unit)}${head === 'clear' ? '' : ' !'}`,
    trial.pull ?? '-',
  ]
}

/** What has to be known of a trial beside its figures. */
export function trialRemarks({ trial, reference, warnings }: JudgedTrial): string[] {
  const lines = warnings.map(({ message }) => `trial ${trial.number}: ${message}`)
  if (reference && reference.number !== trial.number - 1)
    lines.push(`trial ${trial.number}: compared with trial ${reference.number}, from which it differs least`)
  return lines
}

function effectTable(history: History): string[] {
  const effects = effectsOf(history)
  if (effects.length === 0) return []
  const head = ['what a step does', 'points skipped (95 %)', 'head', 'seen in']
  return alignColumns([head, ...effectRows(effects, history.log.unit)], new Set())
}

/** What a step of each knob does, as cells. */
export function effectRows(effects: readonly Effect[], unit: Unit): string[][] {
  return effects.map((effect) => [
    stepText(effect),
    `${signedText(100 * effect.value, 0)} (${signedText(100 * effect.low, 0)} to ${signedText(100 * effect.high, 0)})`,
    effect.headC === null
      ? '-'
      : `${signedText(unit === 'F' ? 1.8 * effect.headC : effect.headC, 0)} °${unit}`,
    trialList(effect.trials),
  ])
}
