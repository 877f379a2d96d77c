import type { Arena } from './arena.js'

/** Frames of one level of the network, one after the other, channels side by side, with room for zeros before and after. */
export interface Frames {
  readonly channels: number
  readonly count: number
  /** Place of the first frame. */
  readonly at: number
  /** Place of a first frame with as much room, which the next layer writes to. */
  readonly spare: number
}

/** Frames of zeros on either side: as far as a depthwise layer looks. Derived: 9 taps at a dilation of 8. */
export const MARGIN = 32
/** Frames that kernels may write beyond the last one, as rows come in fours. Derived. */
const OVERRUN = 3

/** Room for `count` frames twice, with zeros before the first ones. */
export function takeFrames(arena: Arena, channels: number, count: number): Frames {
  const row = 4 * channels
  const room = (count + 2 * MARGIN + OVERRUN) * row
  const places = [arena.take(room), arena.take(room)].map((place) => place + MARGIN * row)
  for (const place of places) arena.kernels.floats.fill(0, (place - MARGIN * row) >> 2, place >> 2)
  return { channels, count, at: places[0]!, spare: places[1]! }
}

/** Puts zeros behind the last frame, where kernels may have written. */
export function endFrames(arena: Arena, { channels, count, at }: Frames): void {
  const end = (at >> 2) + count * channels
  arena.kernels.floats.fill(0, end, end + (MARGIN + OVERRUN) * channels)
}
