import { foldOf, recordingNumber } from './folds.js'
import type { Outcome } from './outcome.js'
import { noSpeeds, type SpeedCounts, type SpeedOutcome } from './speed.js'
import { STATE_LIMITS, type StateKind } from './states.js'

/** What a summary needs of an outcome. */
export type JudgedClip = Pick<Outcome, 'task' | 'verdict' | 'real'>

export interface Tally {
  right: number
  of: number
  /** Of those not right, the ones not claimed either. */
  open: number
}

export interface RealSummary {
  readonly engines: Tally
  /** Clips without an engine in which one was heard. */
  readonly falseEngines: Tally
  readonly sure: SpeedCounts
  readonly likely: SpeedCounts
  /** Firm states and likely ones by kind. */
  readonly states: Record<'sure' | 'likely', Record<StateKind, Tally>>
  /** Overruns scored as clean running; `right` counts those that were not. */
  readonly overrun: Tally
}

/** Sums up labelled engine clips and clips without an engine (those without a result of their own). */
export function summariseReal(outcomes: readonly JudgedClip[]): RealSummary {
  const summary: RealSummary = {
    engines: tally(),
    falseEngines: tally(),
    sure: noSpeeds(),
    likely: noSpeeds(),
    states: { sure: stateTallies(), likely: stateTallies() },
    overrun: tally(),
  }
  for (const { task, verdict, real } of outcomes) {
    if (!task.name.startsWith('engine/')) {
      count(summary.falseEngines, verdict === 'measured')
      continue
    }
    count(summary.engines, verdict === 'measured')
    if (!real) continue
    for (const confidence of ['sure', 'likely'] as const)
      for (const key of Object.keys(real[confidence]) as SpeedOutcome[])
        summary[confidence][key] += real[confidence][key]
    for (const state of real.states)
      count(summary.states[state.confidence][state.kind], state.right, state.open)
    summary.overrun.of += real.overrun.spans
    summary.overrun.right += real.overrun.spans - real.overrun.calledClean
  }
  return summary
}

/** Summaries by recording. */
export function summariseRecordings(outcomes: readonly JudgedClip[]): Map<string, RealSummary> {
  const byRecording = new Map<string, JudgedClip[]>()
  for (const outcome of outcomes) {
    if (!outcome.task.name.startsWith('engine/')) continue
    const number = recordingNumber(outcome.task.name)
    byRecording.set(number, [...(byRecording.get(number) ?? []), outcome])
  }
  return new Map([...byRecording].map(([number, clips]) => [number, summariseReal(clips)]))
}

/** Summaries by fold, in their order: each is one model's hearing. */
export function summariseFolds(outcomes: readonly JudgedClip[]): Map<number, RealSummary> {
  const folds = [...new Set(outcomes.map(({ task }) => foldOf(task.name)))].sort()
  return new Map(
    folds.map((fold) => [fold, summariseReal(outcomes.filter(({ task }) => foldOf(task.name) === fold))]),
  )
}

/** All kinds of state together. */
export function allStates(tallies: Record<StateKind, Tally>): Tally {
  const sum = tally()
  for (const { right, of, open } of Object.values(tallies)) {
    sum.right += right
    sum.of += of
    sum.open += open
  }
  return sum
}

/** Share of one outcome among all frames; NaN without frames. */
export function shareOf(counts: SpeedCounts, ...keys: SpeedOutcome[]): number {
  const all = Object.values(counts).reduce((sum, n) => sum + n, 0)
  return keys.reduce((sum, key) => sum + counts[key], 0) / all
}

const tally = (): Tally => ({ right: 0, of: 0, open: 0 })

function stateTallies(): Record<StateKind, Tally> {
  const kinds = Object.keys(STATE_LIMITS) as StateKind[]
  return Object.fromEntries(kinds.map((kind) => [kind, tally()])) as Record<StateKind, Tally>
}

function count(to: Tally, right: boolean, open = false): void {
  to.of++
  if (right) to.right++
  else if (open) to.open++
}
