import type { Clip } from './clip.js'

/** Least span of the speed scale as a share of the top speed, so that a little wander does not look like a leap. */
const MIN_SPAN = 0.3

/** Lowest and highest speed to show, rpm: all turns at all readings, with room for words on top. */
export function speedRange({ turns, segments }: Pick<Clip, 'turns' | 'segments'>): readonly [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = 0
  for (const rpm of turns.rpm) {
    low = Math.min(low, rpm)
    high = Math.max(high, rpm)
  }
  if (high === 0) return [0, 6000]
  const factors = segments.map(({ otherFactor }) => otherFactor ?? 1)
  low *= Math.min(1, ...factors)
  high *= Math.max(1, ...factors)
  const bottom = Math.min(low, high * (1 - MIN_SPAN))
  const room = 0.06 * (high - bottom)
  return [Math.max(0, bottom - room), high + 6 * room]
}
