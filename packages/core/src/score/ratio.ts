import { clamp, Z95 } from '../math/stats.js'
import type { Revolutions } from '../revolutions/types.js'
import { ERROR_RUN_TURNS, MIN_KNOWN_SHARE, RELIABLE_FROM, UNKNOWN_PULL, UNRELIABLE_SD } from './constants.js'
import { designEffect } from './dependence.js'
import { eitherWay, knownWeight, readState, statesWithin } from './readings.js'
import type { Ratio, TurnRange } from './types.js'
import { wilsonInterval } from './wilson.js'

/** What there is to say when nothing can be told. */
export const NO_RATIO: Ratio = { value: null, low: null, high: null, turns: 0 }

/**
 * Misfire ratio: the share of turns that did not fire, with a 95 % interval.
 *
 * The value is the mean of 1 − `firedProbability`, so a partial burn counts by its share. Turns nothing is known of
 * (unsure, near an even chance) stay out of the value but not out of the interval.
 *
 * The interval is meant for the share *in this kind of running*: were the clip to go on, 95 of 100 such intervals
 * should hold the share the engine settles at. For the very turns that were heard it is on the wide side. It joins
 * 1. every believable reading of each state (labels taken as certain or corrected for admitted errors; which of two
 *    kinds fired; unknown turns),
 * 2. Wilson's interval around the lowest and the highest reading for an effective number of turns: few when skips
 *    come in runs, many when a strict pattern repeats,
 * 3. errors of labelling: those the probabilities admit, in runs of about 8 turns, and a common one where disjoint
 *    bands do not agree (`reliability` below 0.5);
 * 2 and 3 by square and add.
 *
 * @param revolutions all turns of the clip
 * @param ranges spans of turns, `firstTurn` to one before `endTurn`, not overlapping; may be empty
 * @returns `value` within `low` … `high`; all three null when less than a fifth of the turns is known
 * @remarks O(turns). The constants of 1 and 3 are chosen, not derived; `bench/accuracy` counts how often they hold.
 * @see Newcombe, "Interval estimation for the difference between independent proportions", Statistics in Medicine 17
 *   (1998), for square and add
 * @example
 * const { revolutions } = analyze(toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav'))))
 * misfireRatio(revolutions, [{ firstTurn: 0, endTurn: revolutions.timeS.length }]).value // 0.44
 */
export function misfireRatio(revolutions: Revolutions, ranges: readonly TurnRange[]): Ratio {
  let turns = 0
  let known = 0
  let skipped = 0
  let low = 0
  let high = 0
  const spans: Float64Array[] = []
  for (const { firstTurn, endTurn } of ranges) {
    turns += endTurn - firstTurn
    for (const [first, end] of statesWithin(revolutions, firstTurn, endTurn)) {
      const state = readState(revolutions, first, end)
      known += state.known
      skipped += state.skipped
      low += state.skippedLow
      high += state.skippedHigh
    }
    spans.push(Float64Array.from(revolutions.firedProbability.subarray(firstTurn, endTurn), (p) => 1 - p))
  }
  if (turns === 0 || known < MIN_KNOWN_SHARE * turns) return { ...NO_RATIO, turns: Math.round(known) }

  const value = clamp(skipped / known, 0, 1)
  const unknown = unknownShift(revolutions, ranges, value)
  const lowReading = clamp((low + (turns - known) * value - unknown.down) / turns, 0, value)
  const highReading = clamp((high + (turns - known) * value + unknown.up) / turns, value, 1)

  // Laplace's share keeps the variance of a single turn above zero where all turns are alike.
  const likely = (skipped + 1) / (known + 2)
  const effective = known / designEffect(spans, likely * (1 - likely))
  const label = Z95 * labelSd(revolutions, ranges)
  return {
    value,
    low: clamp(
      lowReading - Math.hypot(lowReading - wilsonInterval(lowReading, effective)[0], label),
      0,
      value,
    ),
    high: clamp(
      highReading + Math.hypot(wilsonInterval(highReading, effective)[1] - highReading, label),
      value,
      1,
    ),
    turns: Math.round(known),
  }
}

/** How far the unknown turns can shift the sum of skipped ones, down and up. */
function unknownShift(revolutions: Revolutions, ranges: readonly TurnRange[], value: number) {
  let down = 0
  let up = 0
  for (const { firstTurn, endTurn } of ranges) {
    for (let i = firstTurn; i < endTurn; i++) {
      const pull = UNKNOWN_PULL * (1 - knownWeight(revolutions, i))
      down += pull * Math.max(0, value - (1 - revolutions.firedHigh[i]!))
      up += pull * Math.max(0, 1 - revolutions.firedLow[i]! - value)
    }
  }
  return { down, up }
}

/** Standard deviation of the ratio from wrong labels: a chance part that averages out and a common part that does not. */
function labelSd(revolutions: Revolutions, ranges: readonly TurnRange[]): number {
  let turns = 0
  let doubt = 0
  let distrust = 0
  for (const { firstTurn, endTurn } of ranges) {
    for (let i = firstTurn; i < endTurn; i++) {
      const p = revolutions.firedProbability[i]!
      turns++
      // Which of two kinds fired is one question for the whole state, and the readings answer it.
      if (!eitherWay(revolutions, i)) doubt += knownWeight(revolutions, i) * p * (1 - p)
      distrust += Math.max(0, 1 - revolutions.reliability[i]! / RELIABLE_FROM)
    }
  }
  return Math.hypot(Math.sqrt(ERROR_RUN_TURNS * doubt) / turns, (UNRELIABLE_SD * distrust) / turns)
}
