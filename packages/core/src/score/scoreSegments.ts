import type { Stretch } from '../crank/types.js'
import type { Revolutions } from '../labels/types.js'
import { misfireRatio } from '../ratio/ratio.js'
import type { Ratio } from '../ratio/types.js'
import type { Segment, SegmentKind } from '../segments/types.js'
import { coverOpenStretches } from './otherReading.js'
import type { Score } from './types.js'

/**
 * Misfire ratio of the clip: while running and judged (idle, pulling, steady), steady alone, pulling alone.
 *
 * Coasting is left out: with the throttle closed a turn that fires and one that does not sound alike.
 *
 * @param revolutions all turns of the clip
 * @param segments spans of running, as found by `findSegments`
 * @param stretches of the crank speed; the intervals cover the other readings of those that are open
 * @param times as for {@link misfireRatio}
 * @returns three ratios; a value is null where there is no such running or nothing can be told
 */
export function scoreSegments(
  revolutions: Revolutions,
  segments: readonly Segment[],
  stretches: readonly Stretch[] = [],
  times = 1,
): Score {
  const over = (...kinds: SegmentKind[]): Ratio => {
    const own = segments.filter(({ kind }) => kinds.includes(kind))
    return coverOpenStretches(misfireRatio(revolutions, own, times), revolutions, own, stretches)
  }
  return { misfireRatio: over('idle', 'pulling', 'steady'), steady: over('steady'), pulling: over('pulling') }
}
