import type { Revolutions } from '../labels/types.js'
import { clamp, Z95 } from '../math/stats.js'
import type { Ratio, TurnRange } from '../ratio/types.js'
import { CANNOT_TELL_PULL, MIN_TOLD_SHARE } from './constants.js'
import { doubtOf, hearingSd, isTold } from './interval.js'

/** What there is to say when nothing can be told. By definition. */
export const NO_RATIO: Ratio = { value: null, low: null, high: null, turns: 0 }

/**
 * Misfire ratio: the share of turns that did not fire, with a 95 % interval.
 *
 * The value is the mean of 1 − `firedProbability`, so a partial burn counts by its share. Turns of which nothing can be told
 * stay out of the value but not out of the interval, which they widen both ways.
 *
 * The interval is meant for the turns of the clip: 95 of 100 such intervals should hold the share that these turns really
 * skipped. How another ride would differ is not in it; `compare` and `pooledRatio` take that from several clips.
 *
 * @param revolutions all turns of the clip
 * @param ranges spans of turns, `firstTurn` to one before `endTurn`, not overlapping; may be empty
 * @param times what the interval would be with this many times as many such turns, >= 1
 * @returns `value` within `low` … `high`; all three null when less than a fifth of the turns is told
 * @remarks O(turns)
 * @example
 * const { revolutions } = analyze(toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav'))))
 * misfireRatio(revolutions, [{ firstTurn: 0, endTurn: revolutions.timeS.length }]).value // 0.4
 */
export function misfireRatio(revolutions: Revolutions, ranges: readonly TurnRange[], times = 1): Ratio {
  let [turns, told, skipped, doubt] = [0, 0, 0, 0]
  for (const { firstTurn, endTurn } of ranges) {
    turns += endTurn - firstTurn
    for (let n = firstTurn; n < endTurn; n++) {
      if (!isTold(revolutions, n)) continue
      told++
      skipped += 1 - revolutions.firedProbability[n]!
      doubt += doubtOf(revolutions.firedProbability[n]!)
    }
  }
  if (turns === 0 || told < MIN_TOLD_SHARE * turns) return { ...NO_RATIO, turns: told }
  const value = clamp(skipped / told, 0, 1)
  const reach = Z95 * hearingSd(doubt / told, times * told)
  const cannotTell = CANNOT_TELL_PULL * (1 - told / turns)
  return {
    value,
    low: Math.max(0, value - Math.hypot(reach, cannotTell * value)),
    high: Math.min(1, value + Math.hypot(reach, cannotTell * (1 - value))),
    turns: told,
  }
}
