import type { Stretch } from '../crank/types.js'
import type { Revolutions } from '../labels/types.js'
import { clamp } from '../math/stats.js'
import type { Ratio } from '../ratio/types.js'
import type { Segment } from '../segments/types.js'

/**
 * Widens a ratio's interval so that it also covers another reading of the crank speed.
 *
 * The firings stay what they are while the turns are counted `factor` times: a ratio r becomes 1 − (1 − r) / factor,
 * not below 0. Strict alternation at n turns a second and clean running at n / 2 are one sound read in two ways.
 *
 * @param factor other reading of the speed as a factor, > 0
 * @returns the ratio with the same value, `low` and `high` covering both readings
 */
export function coverOtherReading(ratio: Ratio, factor: number): Ratio {
  if (ratio.value === null || ratio.low === null || ratio.high === null) return ratio
  const other = (r: number): number => clamp(1 - (1 - r) / factor, 0, 1)
  return {
    ...ratio,
    low: Math.min(ratio.low, other(ratio.low)),
    high: Math.max(ratio.high, other(ratio.high)),
  }
}

/** Where the multiple of its speed is open, a segment's interval covers both readings. */
export function withOtherReading(
  segment: Segment,
  { stretch }: Revolutions,
  stretches: readonly Stretch[],
): Segment {
  const own = stretch.subarray(segment.firstTurn, segment.endTurn)
  const open = own.find((k) => stretches[k]!.ambiguous)
  const factor = open === undefined ? null : stretches[open]!.alternativeFactor
  if (factor === null || segment.misfireRatio === null) return segment
  return { ...segment, misfireRatio: coverOtherReading(segment.misfireRatio, factor) }
}
