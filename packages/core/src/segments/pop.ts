import { FIRED, type Revolutions, SKIPPED } from '../labels/types.js'
import { median } from '../math/stats.js'
import type { TurnRange } from '../ratio/types.js'
import { MIN_POPS, POP_NEIGHBOURS } from './constants.js'

/**
 * How much louder a firing after a skip is than a steady firing (one after a firing), dB.
 *
 * Each firing after a skip is set against the median of the steady firings within ±20 turns, so that a change of speed
 * or of the phone's level over the span does not count. The answer is the median of those differences.
 *
 * @param revolutions all turns
 * @param range span of turns
 * @returns null with fewer than five such firings that have at least five steady ones near by
 */
export function popDb(revolutions: Revolutions, range: TurnRange): number | null {
  const { label, level, stretch } = revolutions
  const after: number[] = []
  const steady: number[] = []
  for (let i = range.firstTurn + 1; i < range.endTurn; i++) {
    if (label[i] !== FIRED || stretch[i] !== stretch[i - 1] || !(level[i]! > 0)) continue
    if (label[i - 1] === SKIPPED) after.push(i)
    else if (label[i - 1] === FIRED) steady.push(i)
  }
  const louder: number[] = []
  let low = 0
  let high = 0
  for (const turn of after) {
    while (low < steady.length && steady[low]! < turn - POP_NEIGHBOURS) low++
    while (high < steady.length && steady[high]! <= turn + POP_NEIGHBOURS) high++
    const near = steady.slice(low, high)
    if (near.length < MIN_POPS) continue
    louder.push(20 * Math.log10(level[turn]! / median(near.map((other) => level[other]!))))
  }
  return louder.length < MIN_POPS ? null : median(louder)
}
