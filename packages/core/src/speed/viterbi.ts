import { BINS, BINS_PER_OCTAVE } from './constants.js'
import { borrowPaths, placeOfLargest, REACH } from './paths.js'
import type { SalienceMap } from './salience.js'

/** Salience favours sub-multiples by up to 0.1 with every third turn firing; this much an octave makes up for it. */
export const OCTAVE_BIAS = 0.1
/** Cost of reading a stretch at another multiple from here on; real engines never do it, so it is folded out later. */
export const RELABEL_COST = 2
/** Multiples a reading can be mistaken for. */
export const MULTIPLES: readonly number[] = [2, 1 / 2, 3, 1 / 3, 3 / 2, 2 / 3, 4, 1 / 4, 4 / 3, 3 / 4]

/** Distances of the multiples, bins. */
const JUMPS = MULTIPLES.map((m) => Math.round(Math.log2(m) * BINS_PER_OCTAVE))

export interface RawTrack {
  /** Bin of every frame. */
  readonly bins: Int32Array
  /** Factor by which the reading was relabelled at the step into this frame; 1 nearly everywhere. */
  readonly relabels: Float64Array
}

/**
 * Best path of crank speed through the salience map.
 *
 * Between frames the speed follows the slope of the chirp search at a quadratic cost; relabelling to a multiple
 * costs {@link RELABEL_COST}.
 */
export function viterbi(map: SalienceMap, lowBin = 0, highBin = BINS - 1): RawTrack {
  const { frames, values, slopes } = map
  const count = highBin - lowBin + 1
  const paths = borrowPaths(count, JUMPS)
  const origins = new Int16Array(frames * count)
  const bias = Float64Array.from({ length: count }, (_, i) => (OCTAVE_BIAS * (lowBin + i)) / BINS_PER_OCTAVE)
  for (let frame = 0; frame < frames; frame++) {
    const row = frame * BINS + lowBin
    const here = slopes.subarray(row, row + count)
    if (frame === 0) paths.start(here, 0)
    else {
      paths.step(here)
      paths.jump(RELABEL_COST)
      origins.set(paths.origins(), frame * count)
    }
    const score = paths.score()
    for (let i = 0; i < count; i++) score[i] = score[i]! + (values[row + i]! + bias[i]!)
  }
  const bins = new Int32Array(frames)
  const relabels = new Float64Array(frames).fill(1)
  let i = placeOfLargest(paths.score())
  for (let frame = frames - 1; frame >= 0; frame--) {
    bins[frame] = lowBin + i
    if (frame === 0) break
    const before = origins[frame * count + i]!
    if (Math.abs(i - before) > REACH) relabels[frame] = nearestMultiple((i - before) / BINS_PER_OCTAVE)
    i = before
  }
  return { bins, relabels }
}

function nearestMultiple(octaves: number): number {
  let best = 1
  for (const m of MULTIPLES)
    if (Math.abs(Math.log2(m) - octaves) < Math.abs(Math.log2(best) - octaves)) best = m
  return best
}
