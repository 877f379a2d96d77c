import { Z95 } from '../math/stats.js'
import { student95 } from '../math/student.js'
import { MOST_PASSES, POWER_SDS } from './constants.js'
import type { Difference, Reach } from './difference.js'

/** Smallest true change that these clips would have called a change in four of five cases, share of turns. */
export function smallestChange({ low, high }: Pick<Difference, 'low' | 'high'>): number {
  return ((high - low) / 2) * (1 + POWER_SDS / Z95)
}

/** The same with more passes on each side. @param passes passes of the side that has fewer, >= 1 */
export function smallestWithMore(found: Difference, passes: number, more: number): number {
  const { down, up } = reachWithMore(found, passes, more)
  return Math.min(smallestChange(found), smallestChange({ low: -down, high: up }))
}

/**
 * How many more passes on each side would come to a verdict if the change stays as heard.
 *
 * A verdict is an interval that leaves out zero, or one within the margin, whichever is nearer.
 *
 * @param passes passes of the side that has fewer, >= 1
 * @param worth margin of `same`, share of turns
 * @returns 1 … `MOST_PASSES`, or null where more of the same would not do
 */
export function passesToSettle(found: Difference, passes: number, worth: number): number | null {
  const distance = Math.max(Math.abs(found.value), worth - Math.abs(found.value))
  for (let more = 1; more <= MOST_PASSES; more++) {
    const { down, up } = reachWithMore(found, passes, more)
    if (Math.max(down, up) < distance) return more
  }
  return null
}

/** More passes shrink what is chance; what is misheard stays. */
function reachWithMore({ chance, hearing, open, freedom }: Difference, passes: number, more: number): Reach {
  const shrunk = (student95(freedom + 2 * more) / student95(freedom)) * Math.sqrt(passes / (passes + more))
  const reach = (way: 'down' | 'up'): number => Math.hypot(shrunk * chance[way], hearing[way]) + open[way]
  return { down: reach('down'), up: reach('up') }
}
