import type { Revolutions } from '../labels/types.js'
import { MAD_TO_SD, mad } from '../math/stats.js'
import type { TurnRange } from '../ratio/types.js'
import { MIN_UNEVENNESS_TURNS, TREND_HALF_TURNS } from './constants.js'

/**
 * Unevenness of speed: robust spread of the crank speed about the mean of the nine turns around each, as a share.
 *
 * A steady rise or fall does not count, as a centred mean follows a straight line. Scaled so that independent scatter
 * of standard deviation s about a line gives s. The speed of a turn is itself a mean of seven turns, though: of what changes
 * from one turn to the next a fifth is left, so that this compares clips and is no measure of single turns.
 *
 * @param revolutions all turns
 * @param range span of turns
 * @returns 0.01 = 1 %; null with fewer than 12 turns that have four neighbours on both sides
 */
export function unevenness(revolutions: Revolutions, range: TurnRange): number | null {
  const { speedRpm, stretch } = revolutions
  const window = 2 * TREND_HALF_TURNS + 1
  const deviations: number[] = []
  for (let i = range.firstTurn + TREND_HALF_TURNS; i < range.endTurn - TREND_HALF_TURNS; i++) {
    if (stretch[i - TREND_HALF_TURNS] !== stretch[i + TREND_HALF_TURNS]) continue
    let sum = 0
    for (let k = i - TREND_HALF_TURNS; k <= i + TREND_HALF_TURNS; k++) sum += speedRpm[k]!
    deviations.push((speedRpm[i]! * window) / sum - 1)
  }
  if (deviations.length < MIN_UNEVENNESS_TURNS) return null
  // The turn is part of its own mean, which takes 1/9 off the variance.
  return MAD_TO_SD * mad(deviations) * Math.sqrt(window / (window - 1))
}
