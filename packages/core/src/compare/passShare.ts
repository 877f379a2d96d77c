import { mean } from '../math/stats.js'
import { designEffect } from '../score/dependence.js'
import { coverOtherReading } from '../score/otherReading.js'
import { eitherWay, readState, statesWithin } from '../score/readings.js'
import type { Pass } from './passes.js'

/** Share of skipped turns in one pass, in the common mix. */
export interface PassShare {
  /** Sum of the weights of the known turns: what the pass counts. */
  readonly mass: number
  /** Share of skipped turns, 0–1; NaN when the mass is 0. */
  readonly value: number
  /** Lowest and highest share under every believable reading of the labels. */
  readonly low: number
  readonly high: number
  /** How many independent turns the pass is worth as a sample of how the engine runs: few where skips come in runs. */
  readonly effective: number
  /** Share of the turns, by weight, of which nothing is known, and how far they could lower and raise the share. */
  readonly unknown: number
  readonly hiddenDown: number
  readonly hiddenUp: number
  /** By how much the other reading of an open crank speed would lower and raise the share, >= 0. */
  readonly openDown: number
  readonly openUp: number
  /** Share of turns of which two kinds are sure but not which fired, by weight. */
  readonly eitherWay: number
}

/**
 * Takes the weighted share of skipped turns of one pass.
 *
 * @param pass judged turns
 * @param weights one for each judged turn, 0–1
 */
export function passShare(pass: Pass, weights: Float64Array): PassShare {
  const { revolutions } = pass.analysis
  const { firedProbability, firedLow, firedHigh, stretch } = revolutions
  const sum = { all: 0, known: 0, skipped: 0, squares: 0, either: 0 }
  const reach = { down: 0, up: 0, openDown: 0, openUp: 0 }
  pass.turn.forEach((turn, i) => {
    const weight = weights[i]!
    const known = weight * pass.known[i]!
    sum.all += weight
    sum.known += known
    sum.squares += known * weight
    sum.skipped += known * (1 - firedProbability[turn]!)
    if (eitherWay(revolutions, turn)) sum.either += weight
  })
  const value = sum.skipped / sum.known
  const hidden = { down: 0, up: 0 }
  pass.turn.forEach((turn, i) => {
    const weight = weights[i]! * (1 - pass.known[i]!)
    hidden.down += weight * Math.max(0, value - (1 - firedHigh[turn]!))
    hidden.up += weight * Math.max(0, 1 - firedLow[turn]! - value)
  })
  for (const { first, end, weight } of statesOf(pass, weights)) {
    const { known, skipped, skippedLow, skippedHigh } = readState(revolutions, first, end)
    reach.down += weight * (skipped - skippedLow)
    reach.up += weight * (skippedHigh - skipped)
    const factor = pass.openFactor[stretch[first]!] ?? null
    if (factor === null || known === 0) continue
    const ratio = skipped / known
    const open = coverOtherReading({ value: ratio, low: ratio, high: ratio, turns: known }, factor)
    reach.openDown += weight * known * (ratio - open.low!)
    reach.openUp += weight * known * (open.high! - ratio)
  }
  // Laplace's share keeps the variance of a single turn above zero where all turns are alike.
  const likely = (sum.skipped + 1) / (sum.known + 2)
  return {
    mass: sum.known,
    value,
    low: value - reach.down / sum.known,
    high: value + reach.up / sum.known,
    effective: sum.known ** 2 / (sum.squares * designEffect(spansOf(pass), likely * (1 - likely))),
    unknown: 1 - sum.known / sum.all,
    hiddenDown: hidden.down / sum.all,
    hiddenUp: hidden.up / sum.all,
    openDown: reach.openDown / sum.known,
    openUp: reach.openUp / sum.known,
    eitherWay: sum.either / sum.all,
  }
}

/** States of the judged segments, as indices into `Revolutions`, with the mean weight of their turns. */
function statesOf(pass: Pass, weights: Float64Array) {
  let at = 0
  return pass.segments.flatMap(({ firstTurn, endTurn }) => {
    const offset = at - firstTurn
    at += endTurn - firstTurn
    return statesWithin(pass.analysis.revolutions, firstTurn, endTurn).map(([first, end]) => ({
      first,
      end,
      weight: mean(weights.subarray(first + offset, end + offset)),
    }))
  })
}

function spansOf({ analysis, segments }: Pass): Float64Array[] {
  const { firedProbability } = analysis.revolutions
  return segments.map(({ firstTurn, endTurn }) =>
    Float64Array.from(firedProbability.subarray(firstTurn, endTurn), (p) => 1 - p),
  )
}
