import { Z95 } from '../../math/stats.js'
import type { SettingScore } from '../history.js'

/** Change worth seeing, share of turns. Chosen: less is hardly felt. */
export const WORTH_SEEING = 0.05
/** Φ⁻¹(0.8): four of five such changes are to show. Derived; that chance: common practice, no source. */
const Z_POWER = 0.8416
/** Fewer say nothing of what passes differ by. Chosen. */
const FEWEST_PASSES = 2
/** More than this nobody rides for one change. Chosen. */
const MOST_PASSES = 8

/**
 * Passes on each side that show a change of 5 points in four of five cases, as far as the clips so far tell.
 *
 * @returns 2–8; 3 where nothing was heard yet
 * @see Sample size of two means, as in any textbook: n = 2 (z₀.₉₇₅ + z₀.₈)² sd² / change²
 */
export function passesFor(base: SettingScore | null): number {
  if (base === null) return 3
  const { low, high, passes } = base.share
  const sd = ((high - low) / (2 * Z95)) * Math.sqrt(passes)
  const needed = (2 * (Z95 + Z_POWER) ** 2 * sd ** 2) / WORTH_SEEING ** 2
  return Math.min(MOST_PASSES, Math.max(FEWEST_PASSES, Math.ceil(needed)))
}
