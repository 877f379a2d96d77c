import { Z95 } from '../math/stats.js'
import { doubtOf, hearingSd } from '../ratio/interval.js'
import { coverOpenTurns, type OpenTurns } from '../score/otherReading.js'
import { designEffect } from './dependence.js'
import type { Pass } from './passes.js'

/** Share of skipped turns in one pass, in the common mix. */
export interface PassShare {
  /** Sum of the weights of the told turns: what the pass counts. */
  readonly mass: number
  /** Share of skipped turns, 0–1; NaN when the mass is 0. */
  readonly value: number
  /** Lowest and highest share that the doubt about its turns leaves, 95 %; may lie outside 0–1. */
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
}

/**
 * Takes the weighted share of skipped turns of one pass.
 *
 * @param pass judged turns
 * @param weights one for each judged turn, 0–1
 */
export function passShare(pass: Pass, weights: Float64Array): PassShare {
  const { firedProbability, stretch } = pass.analysis.revolutions
  const sum = { all: 0, known: 0, skipped: 0, squares: 0, doubt: 0 }
  const open = new Map<number, { known: number; skipped: number }>()
  pass.turn.forEach((turn, i) => {
    const weight = weights[i]!
    const known = weight * pass.known[i]!
    const fired = firedProbability[turn]!
    sum.all += weight
    sum.known += known
    sum.squares += known * weight
    sum.skipped += known * (1 - fired)
    sum.doubt += known * doubtOf(fired)
    const own = open.get(stretch[turn]!) ?? { known: 0, skipped: 0 }
    open.set(stretch[turn]!, { known: own.known + known, skipped: own.skipped + known * (1 - fired) })
  })
  const value = sum.skipped / sum.known
  const unknown = 1 - sum.known / sum.all
  const openTurns = [...open].flatMap(([number, { known, skipped }]): OpenTurns[] => {
    const factor = pass.openFactor[number] ?? null
    return factor === null || known === 0
      ? []
      : [{ share: known / sum.known, value: skipped / known, factor }]
  })
  const both = coverOpenTurns({ value, low: value, high: value, turns: sum.known }, openTurns)
  const reach = Z95 * hearingSd(sum.doubt / sum.known, sum.known)
  // Laplace's share keeps the variance of a single turn above zero where all turns are alike.
  const likely = (sum.skipped + 1) / (sum.known + 2)
  return {
    mass: sum.known,
    value,
    low: value - reach,
    high: value + reach,
    effective: sum.known ** 2 / (sum.squares * designEffect(spansOf(pass), likely * (1 - likely))),
    unknown,
    hiddenDown: unknown * value,
    hiddenUp: unknown * (1 - value),
    openDown: value - both.low!,
    openUp: both.high! - value,
  }
}

function spansOf({ analysis, segments }: Pass): Float64Array[] {
  const { firedProbability } = analysis.revolutions
  return segments.map(({ firstTurn, endTurn }) =>
    Float64Array.from(firedProbability.subarray(firstTurn, endTurn), (p) => 1 - p),
  )
}
