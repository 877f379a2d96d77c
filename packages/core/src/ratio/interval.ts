import type { Revolutions } from '../labels/types.js'
import { BASE_SD, DOUBT_SD, ERROR_RUN_TURNS } from './constants.js'

/** False where it cannot be told whether the turn fired: its bounds say everything and nothing. */
export function isTold({ firedLow, firedHigh }: Revolutions, turn: number): boolean {
  return firedLow[turn]! > 0 || firedHigh[turn]! < 1
}

/** Doubt about one turn: 0 where it is sure, 1 at an even chance. */
export function doubtOf(fired: number): number {
  return 4 * fired * (1 - fired)
}

/**
 * Standard deviation of a share of skipped turns as it was heard.
 *
 * Two parts that do not depend on each other: what all turns share (a wrong kind of turn taken for the firing one, a twin of
 * the speed), which grows with the mean doubt and does not average out; and what the chances of the turns admit, in runs of
 * about eight turns, which does.
 *
 * @param doubt mean {@link doubtOf} of the turns, 0–1
 * @param turns how many, > 0
 */
export function hearingSd(doubt: number, turns: number): number {
  const alone = Math.sqrt((ERROR_RUN_TURNS * doubt) / 4 / Math.max(turns, ERROR_RUN_TURNS))
  return Math.hypot(BASE_SD, DOUBT_SD * doubt, alone)
}
