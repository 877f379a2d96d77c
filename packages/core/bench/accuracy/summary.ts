import { mean } from '../../src/math/stats.js'
import { addCalibration, type Calibration, calibrationError, noCalibration } from './calibration.js'
import { hasInterval } from './judged.js'
import type { Outcome } from './outcome.js'
import { holds, type SimulatedResult } from './simulated.js'
import type { Reading } from './speed.js'
import { groupOf } from './tasks.js'

/** Figures of one condition, or means of several. Shares are 0–1, NaN where there was nothing to count. */
export interface ConditionSummary {
  readonly clips: number
  readonly engine: number
  readonly speedRight: number
  /** A multiple of the speed, with the right one named as the alternative, and without. */
  readonly multipleOpen: number
  readonly multipleWrong: number
  readonly speedOff: number
  readonly speedMissing: number
  readonly turnsRight: number
  /** Standard error of `turnsRight` from its scatter between clips. */
  readonly turnsRightError: number
  readonly turnsUnsure: number
  readonly turnsMissing: number
  readonly rightOfSure: number
  readonly coastingCalledFired: number
  /** Mean distance of the misfire ratio from the truth; then with partial burns counted by half. */
  readonly ratioError: number
  readonly ratioErrorHard: number
  /** Share of clips that got a ratio with an interval; of these the share whose interval holds the truth, and its mean width. */
  readonly ratioGiven: number
  readonly intervalHolds: number
  readonly intervalWidth: number
  readonly segmentHolds: number
  /** Turns a naive labeller got right that was given the true turns. */
  readonly naiveRight: number
}

export interface SimulatedSummary {
  readonly conditions: Readonly<Record<string, ConditionSummary>>
  readonly easy: ConditionSummary | null
  readonly hard: ConditionSummary | null
  /** The hard condition with the fewest turns right. */
  readonly worstHard: string | null
  readonly calibration: Calibration
  readonly calibrationError: number
}

/** Sums up the clips of one simulator. */
export function summariseSimulated(outcomes: readonly Outcome[]): SimulatedSummary {
  const conditions: Record<string, ConditionSummary> = {}
  for (const name of new Set(outcomes.map(({ task }) => task.name)))
    conditions[name] = summariseCondition(outcomes.filter(({ task }) => task.name === name))
  const inGroup = (group: string) => Object.keys(conditions).filter((name) => groupOf(name) === group)
  const hard = inGroup('hard').sort((a, b) => conditions[a]!.turnsRight - conditions[b]!.turnsRight)
  const calibration = noCalibration()
  for (const { simulated } of outcomes) if (simulated) addCalibration(calibration, simulated.calibration)
  return {
    conditions,
    easy: meanOf(inGroup('easy').map((name) => conditions[name]!)),
    hard: meanOf(hard.map((name) => conditions[name]!)),
    worstHard: hard[0] ?? null,
    calibration,
    calibrationError: calibrationError(calibration),
  }
}

function summariseCondition(outcomes: readonly Outcome[]): ConditionSummary {
  const clips = outcomes.flatMap(({ simulated }) => simulated ?? [])
  const total = (of: (clip: SimulatedResult) => number) => clips.reduce((sum, clip) => sum + of(clip), 0)
  const { right, open, wrong, off, missing } = {
    right: total((c) => c.speed.right),
    open: total((c) => c.speed.open),
    wrong: total((c) => c.speed.wrong),
    off: total((c) => c.speed.off),
    missing: total((c) => c.speed.missing),
  }
  const all = right + open + wrong + off + missing
  const turns = total((c) => c.labels.turns)
  const turnsRight = total((c) => c.labels.right)
  const valued = clips.filter((c) => c.ratio.value !== null && c.labels.turns > 0)
  const spans = valued.flatMap(({ ratio }) => (hasInterval(ratio) ? [ratio] : []))
  return {
    clips: outcomes.length,
    engine: total((c) => (c.measured ? 1 : 0)) / outcomes.length,
    speedRight: right / all,
    multipleOpen: open / all,
    multipleWrong: wrong / all,
    speedOff: off / all,
    speedMissing: missing / all,
    turnsRight: turnsRight / turns,
    turnsRightError: standardError(clips.filter((c) => c.labels.turns > 0).map(turnsRightOf)),
    turnsUnsure: total((c) => c.labels.unsure) / turns,
    turnsMissing: total((c) => c.labels.missing) / turns,
    rightOfSure: turnsRight / total((c) => c.labels.turns - c.labels.unsure - c.labels.missing),
    coastingCalledFired: total((c) => c.coasting.calledFired) / total((c) => c.coasting.turns),
    ratioError: mean(valued.map(({ ratio }) => Math.abs(ratio.value! - ratio.truth))),
    ratioErrorHard: mean(valued.map(({ ratio }) => Math.abs(ratio.value! - ratio.truthHard))),
    ratioGiven: spans.length / outcomes.length,
    intervalHolds: mean(spans.map((ratio) => (holds(ratio, ratio.truth) ? 1 : 0))),
    intervalWidth: mean(spans.map(({ low, high }) => high - low)),
    segmentHolds: total((c) => c.segments.held) / total((c) => c.segments.count),
    naiveRight: mean(outcomes.flatMap(({ naive }) => naive ?? [])),
  }
}

/** Share of a clip's turns rightly labelled. */
export const turnsRightOf = ({ labels }: SimulatedResult): number => labels.right / labels.turns

/** Means over conditions, each condition alike; figures that some condition lacks over the others. */
function meanOf(list: readonly ConditionSummary[]): ConditionSummary | null {
  if (list.length === 0) return null
  const keys = Object.keys(list[0]!) as (keyof ConditionSummary)[]
  const over = (key: keyof ConditionSummary) => list.map((c) => c[key]).filter(Number.isFinite)
  const means = Object.fromEntries(keys.map((key) => [key, mean(over(key))]))
  const clips = list.reduce((sum, c) => sum + c.clips, 0)
  const turnsRightError = Math.sqrt(mean(over('turnsRightError').map((e) => e * e)) / list.length)
  return { ...(means as unknown as ConditionSummary), clips, turnsRightError }
}

export type TwinCounts = Readonly<Record<Reading, number>>

/** What became of the speed of twins: strict alternation, and its clean twin at half the speed. */
export function summariseTwins(outcomes: readonly Outcome[]): TwinCounts {
  const counts = { right: 0, 'right, open': 0, open: 0, wrong: 0, 'not found': 0 }
  for (const { simulated } of outcomes) counts[simulated?.reading ?? 'not found']++
  return counts
}

/** Mean, standard deviation about it and lowest of at least one value. */
export function spreadOf(values: readonly number[]): { mean: number; sd: number; lowest: number } {
  const centre = mean(values)
  const sd = Math.sqrt(mean(values.map((v) => (v - centre) ** 2)))
  return { mean: centre, sd, lowest: Math.min(...values) }
}

/** Standard error of a mean of independent values; NaN for fewer than two. */
export function standardError(values: readonly number[]): number {
  const centre = mean(values)
  const squares = values.reduce((sum, v) => sum + (v - centre) ** 2, 0)
  return Math.sqrt(squares / (values.length - 1) / values.length)
}
