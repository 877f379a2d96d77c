import type { Revolutions } from '../revolutions/types.js'
import type { Segment, SegmentKind } from '../segments/types.js'
import { misfireRatio } from './ratio.js'
import type { Score } from './types.js'

/**
 * Misfire ratio of the clip: while running and judged (idle, pulling, steady), steady alone, pulling alone.
 *
 * Coasting is left out: with the throttle closed a turn that fires and one that does not sound alike.
 *
 * @param revolutions all turns of the clip
 * @param segments spans of running, as found by `findSegments`
 * @returns three ratios; a value is null where there is no such running or nothing can be told
 */
export function scoreSegments(revolutions: Revolutions, segments: readonly Segment[]): Score {
  const over = (...kinds: SegmentKind[]) =>
    misfireRatio(
      revolutions,
      segments.filter((segment) => kinds.includes(segment.kind)),
    )
  return { misfireRatio: over('idle', 'pulling', 'steady'), steady: over('steady'), pulling: over('pulling') }
}
