import type { Arena } from './arena.js'

/** Frames of one level of the network, one after the other, channels side by side, with room for zeros before and after. */
export interface Frames {
  readonly channels: number
  readonly count: number
  /** Place of the first frame. */
  readonly at: number
}

/** Frames that pass through a layer at a time, a multiple of 4: what they become stays in the processor's cache. Chosen. */
export const TILE = 64
/** Frames of zeros on either side: as far as a depthwise layer looks. Derived: 9 taps at a dilation of 8. */
export const MARGIN = 32
/** Frames that kernels may write beyond the last one, as rows come in fours. Derived. */
const OVERRUN = 3

/** Room for `count` frames that so many blocks will move by a tile towards the front; see `runBlocks`. */
export function takeFrames(arena: Arena, channels: number, count: number, blocks = 0): Frames {
  const row = 4 * channels
  const before = MARGIN + blocks * TILE
  return { channels, count, at: arena.take((before + count + MARGIN + OVERRUN) * row) + before * row }
}

/** Puts zeros before the first frame and behind the last, where kernels may have written. */
export function encloseFrames(arena: Arena, { channels, count, at }: Frames): void {
  const { floats } = arena.kernels
  const [first, end] = [at >> 2, (at >> 2) + count * channels]
  floats.fill(0, first - MARGIN * channels, first)
  floats.fill(0, end, end + (MARGIN + OVERRUN) * channels)
}
