import { JUMP_BINS, READING_BINS, SHORTEST_FRAMES } from './constants.js'
import type { Trace } from './types.js'

/** Frames in which the crank turns on: what jumps inside is a multiple misread, since an engine cannot double its speed in 40 ms. */
export interface Run {
  readonly first: number
  readonly end: number
  /** Bins by which each frame was read above the first part of the run; 0 for the first part, length end − first. */
  readonly above: Float32Array
}

/** How near a jump comes to a multiple, bins. Chosen: 6 %. */
const NEAR_BINS = 4

/** The runs of a path; those too short to be an engine are left out. */
export function findRuns({ bin }: Trace): Run[] {
  const runs: Run[] = []
  for (let first = 0; first < bin.length; ) {
    if (Number.isNaN(bin[first]!)) {
      first++
      continue
    }
    const above = [0]
    let end = first + 1
    for (; end < bin.length && !Number.isNaN(bin[end]!); end++) {
      const step = bin[end]! - bin[end - 1]!
      const jump =
        Math.abs(step) < JUMP_BINS ? 0 : READING_BINS.find((bins) => Math.abs(step - bins) <= NEAR_BINS)
      if (jump === undefined) break
      above.push(above.at(-1)! + jump)
    }
    if (end - first >= SHORTEST_FRAMES) runs.push({ first, end, above: Float32Array.from(above) })
    first = end
  }
  return runs
}
