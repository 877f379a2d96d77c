import type { Revolutions } from '../labels/types.js'
import { misfireRatio } from '../ratio/ratio.js'
import type { Ratio } from '../ratio/types.js'
import type { Segment, SegmentKind } from '../segments/types.js'
import { coverOtherReading } from './otherReading.js'
import type { Score } from './types.js'

/**
 * Misfire ratio of the clip: while running and judged (idle, pulling, steady), steady alone, pulling alone.
 *
 * Coasting is left out: with the throttle closed a turn that fires and one that does not sound alike.
 *
 * @param revolutions all turns of the clip
 * @param segments spans of running, as found by `findSegments`
 * @param otherFactor another reading of the speed, as a factor on it, that the intervals have to cover; null for none
 * @param times as for {@link misfireRatio}
 * @returns three ratios; a value is null where there is no such running or nothing can be told
 */
export function scoreSegments(
  revolutions: Revolutions,
  segments: readonly Segment[],
  otherFactor: number | null = null,
  times = 1,
): Score {
  const over = (...kinds: SegmentKind[]): Ratio => {
    const ratio = misfireRatio(
      revolutions,
      segments.filter(({ kind }) => kinds.includes(kind)),
      times,
    )
    return otherFactor === null ? ratio : coverOtherReading(ratio, otherFactor)
  }
  return { misfireRatio: over('idle', 'pulling', 'steady'), steady: over('steady'), pulling: over('pulling') }
}
