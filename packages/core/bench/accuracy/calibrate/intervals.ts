import { Z95 } from '../../../src/math/stats.js'
import { ERROR_RUN_TURNS, UNTOLD_PULL } from '../../../src/score/constants.js'
import { doubtOf } from '../../../src/score/interval.js'
import { coverOtherReading } from '../../../src/score/otherReading.js'
import { holds } from '../simulated.js'
import { mean } from '../summary.js'
import { type Line, straightened } from './chances.js'
import type { HeardShare } from './hear.js'

/** The two constants of `hearingSd` that are fitted: error that all turns share, without doubt and per mean doubt. */
export interface Widths {
  readonly base: number
  readonly perDoubt: number
}

/** A clip's share after its chances were made honest. */
export interface Share {
  readonly truth: number
  readonly value: number
  readonly doubt: number
  readonly told: number
  readonly untold: number
  readonly otherFactor: number | null
}

export interface Fit extends Widths {
  readonly holds: number
  readonly width: number
}

/** Share of intervals that shall hold: 95 %, and a little for what a fit makes look better than it is. */
export const WANTED = 0.955
/** Widths that are tried: 0.002 to 0.5 in steps of 8 %; per doubt also none. */
const GRID = Array.from({ length: 72 }, (_, k) => 0.002 * 1.08 ** k)

export function straightShare({ truth, fired, untold, otherFactor }: HeardShare, line: Line): Share {
  const chances = Array.from(fired, (chance) => straightened(chance, line))
  return {
    truth,
    value: 1 - mean(chances),
    doubt: mean(chances.map(doubtOf)),
    told: chances.length,
    untold,
    otherFactor,
  }
}

/** The interval of a share as `misfireRatio` makes it, with other constants. */
export function intervalOf(share: Share, { base, perDoubt }: Widths): { low: number; high: number } {
  const { value, doubt, told, untold, otherFactor } = share
  const alone = Math.sqrt((ERROR_RUN_TURNS * doubt) / 4 / Math.max(told, ERROR_RUN_TURNS))
  const reach = Z95 * Math.hypot(base, perDoubt * doubt, alone)
  const pull = (UNTOLD_PULL * untold) / (told + untold)
  const low = Math.max(0, value - Math.hypot(reach, pull * value))
  const high = Math.min(1, value + Math.hypot(reach, pull * (1 - value)))
  if (otherFactor === null) return { low, high }
  const wide = coverOtherReading({ value, low, high, turns: told }, otherFactor)
  return { low: wide.low!, high: wide.high! }
}

/** How many hold, and how wide they are on the mean. */
export function judgeWidths(shares: readonly Share[], widths: Widths): Fit {
  const intervals = shares.map((share) => intervalOf(share, widths))
  return {
    ...widths,
    holds: mean(intervals.map((interval, i) => (holds(interval, shares[i]!.truth) ? 1 : 0))),
    width: mean(intervals.map(({ low, high }) => high - low)),
  }
}

/**
 * Of all widths with which as many intervals hold as wanted, those with the best interval score: mean width, and forty
 * times the distance by which a truth is missed.
 *
 * @returns null when no width on the grid holds so many
 * @see Gneiting & Raftery, "Strictly Proper Scoring Rules, Prediction, and Estimation", JASA 102 (2007), section 6.2
 */
export function fitWidths(shares: readonly Share[]): Fit | null {
  let best: { fit: Fit; score: number } | null = null
  for (const perDoubt of [0, ...GRID]) {
    const base = narrowest(shares, perDoubt)
    if (base === null) continue
    const score = intervalScore(shares, { base, perDoubt })
    if (!best || score < best.score) best = { fit: judgeWidths(shares, { base, perDoubt }), score }
  }
  return best?.fit ?? null
}

/** The least base with which enough hold; more width never holds less. */
function narrowest(shares: readonly Share[], perDoubt: number): number | null {
  let low = 0
  let high = GRID.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (judgeWidths(shares, { base: GRID[middle]!, perDoubt }).holds >= WANTED) high = middle
    else low = middle + 1
  }
  return GRID[low] ?? null
}

function intervalScore(shares: readonly Share[], widths: Widths): number {
  return mean(
    shares.map((share) => {
      const { low, high } = intervalOf(share, widths)
      return high - low + 40 * Math.max(0, low - share.truth, share.truth - high)
    }),
  )
}
