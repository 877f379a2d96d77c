import { CANNOT_TELL, type Revolutions, UNSURE } from '../labels/types.js'
import { movingMedian } from '../math/stats.js'
import type { TurnRange } from '../ratio/types.js'
import { LEVEL_WINDOW_S, MIN_SEGMENT_S, STEP_S } from './constants.js'

/** Speed and level of one run of the engine at even steps; columns of equal length. */
export interface Series {
  /** Start of the run, seconds; point k stands for `STEP_S` from k · `STEP_S` later on. */
  readonly startS: number
  /** Natural logarithm of the crank speed in rpm. */
  readonly logSpeed: Float64Array
  /** Level, dB re full scale. */
  readonly levelDb: Float64Array
  /** Chance of a closed throttle, 0–1. */
  readonly coasting: Float64Array
}

/** Quietest level told apart, linear: −120 dB. Chosen. */
const LEVEL_FLOOR = 1e-6

/** Runs of the engine: neighbouring turns with no silence of a segment's length between them. */
export function findRuns(revolutions: Revolutions): TurnRange[] {
  const { timeS, durationS } = revolutions
  const runs: TurnRange[] = []
  let firstTurn = 0
  for (let i = 1; i <= timeS.length; i++) {
    const silent = i === timeS.length || timeS[i]! - timeS[i - 1]! - durationS[i - 1]! >= MIN_SEGMENT_S
    if (!silent) continue
    runs.push({ firstTurn, endTurn: i })
    firstTurn = i
  }
  return runs
}

/**
 * Resamples a run to even steps. Speed passes a median of five turns first, which drops lone wrong turns; power and the
 * chance of a closed throttle are averaged over the turns near by.
 */
export function resampleRun(revolutions: Revolutions, run: TurnRange): Series {
  const { timeS, durationS, speedRpm, level, coasting } = revolutions
  const m = run.endTurn - run.firstTurn
  const middle = (i: number) => timeS[run.firstTurn + i]! + durationS[run.firstTurn + i]! / 2
  const speed = movingMedian(
    Float64Array.from(speedRpm.subarray(run.firstTurn, run.endTurn), (rpm) => Math.log(rpm)),
    2,
  )
  const startS = timeS[run.firstTurn]!
  const endS = timeS[run.endTurn - 1]! + durationS[run.endTurn - 1]!
  const n = Math.max(1, Math.round((endS - startS) / STEP_S))
  const logSpeed = new Float64Array(n)
  const levelDb = new Float64Array(n)
  const closed = new Float64Array(n)
  let after = 0
  let low = 0
  let high = 0
  for (let k = 0; k < n; k++) {
    const t = startS + (k + 0.5) * STEP_S
    while (after < m && middle(after) <= t) after++
    const left = Math.max(0, after - 1)
    const right = Math.min(m - 1, after)
    const gap = middle(right) - middle(left)
    const share = gap > 0 ? (t - middle(left)) / gap : 0
    logSpeed[k] = speed[left]! + share * (speed[right]! - speed[left]!)
    while (low < left && middle(low) < t - LEVEL_WINDOW_S) low++
    while (high < m && (high <= right || middle(high) <= t + LEVEL_WINDOW_S)) high++
    let power = 0
    for (let i = low; i < high; i++) {
      power += level[run.firstTurn + i]! ** 2
      closed[k]! += coasting[run.firstTurn + i]! / (high - low)
    }
    levelDb[k] = 10 * Math.log10(Math.max(power / (high - low), LEVEL_FLOOR ** 2))
  }
  return { startS, logSpeed, levelDb, coasting: closed }
}

/** Share of evidently skipped turns, 0–1: labelled, in a pattern that is told, weighted by their chance. */
export function evidentSkips(revolutions: Revolutions, range: TurnRange): number {
  let skipped = 0
  for (let i = range.firstTurn; i < range.endTurn; i++) {
    if (revolutions.label[i] === UNSURE || revolutions.pattern[i] === CANNOT_TELL) continue
    skipped += 1 - revolutions.firedProbability[i]!
  }
  return skipped / Math.max(1, range.endTurn - range.firstTurn)
}
