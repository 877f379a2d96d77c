import { student95 } from '../math/student.js'
import type { Ratio } from '../ratio/types.js'

export interface PooledRatio extends Ratio {
  /** Clips it rests on. */
  readonly clips: number
}

/**
 * Share of skipped turns over several clips, with a 95 % interval that takes the clips, not the turns, as units.
 *
 * The value is all skipped turns over all turns, so a long clip counts for more. The interval is Student's, from how far
 * the clips lie from it: turns of one clip are alike, and a hundred more of them say little about the next ride. Clips that
 * happen to agree may all be misheard alike, so half the width of the narrowest clip's own interval is added to it in
 * quadrature, however many clips there are. It does not cover a larger error that all clips share.
 *
 * @param ratios one a clip, no recording twice; those without a value or turns do not count, and those without an interval
 *   add no doubt of their own
 * @returns `low` and `high` null for fewer than two clips, which say nothing of how clips differ; all null for none
 * @see Cochran, *Sampling Techniques* (3rd ed. 1977), 3.12: proportions from clusters of unequal size
 */
export function pooledRatio(ratios: readonly Ratio[]): PooledRatio {
  const clips = ratios.filter(({ value, turns }) => value !== null && turns > 0)
  const n = clips.length
  const turns = clips.reduce((sum, clip) => sum + clip.turns, 0)
  if (n === 0) return { value: null, low: null, high: null, turns, clips: n }
  const value = clips.reduce((sum, clip) => sum + clip.value! * clip.turns, 0) / turns
  if (n === 1) return { value, low: null, high: null, turns, clips: n }
  const squares = clips.reduce((sum, clip) => sum + ((clip.value! - value) * clip.turns) ** 2, 0)
  const standardError = Math.sqrt((n * squares) / (n - 1)) / turns
  const half = Math.hypot(student95(n - 1) * standardError, leastHalfWidth(clips))
  return { value, low: Math.max(0, value - half), high: Math.min(1, value + half), turns, clips: n }
}

/** Half the width of the narrowest own interval; 0 where no clip has one. */
function leastHalfWidth(clips: readonly Ratio[]): number {
  const halves = clips.flatMap(({ low, high }) => (low === null || high === null ? [] : (high - low) / 2))
  return halves.length === 0 ? 0 : Math.min(...halves)
}
