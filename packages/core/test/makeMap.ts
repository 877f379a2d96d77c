import { BINS, BINS_PER_OCTAVE, HOP_S } from '../src/speed/constants.js'
import type { SalienceMap } from '../src/speed/salience.js'

/** A ridge of salience, parabolic and six bins wide, at a place that may change from frame to frame. */
export interface Ridge {
  /** Place in bins, may lie between them. */
  readonly at: (frame: number) => number
  readonly height?: number
  /** Bins a frame, told to the tracker as the slope of the chirp. */
  readonly slope?: number
}

/** A salience map with nothing but ridges in it. */
export function makeMap(frames: number, ridges: readonly Ridge[]): SalienceMap {
  const values = new Float32Array(frames * BINS)
  const slopes = new Float32Array(frames * BINS)
  for (let k = 0; k < frames; k++)
    for (const { at, height = 1, slope = 0 } of ridges)
      for (let b = Math.max(0, Math.ceil(at(k) - 3)); b <= Math.min(BINS - 1, at(k) + 3); b++) {
        const value = height * (1 - ((b - at(k)) / 3) ** 2)
        if (value <= values[k * BINS + b]!) continue
        values[k * BINS + b] = value
        slopes[k * BINS + b] = (slope * Math.LN2) / (BINS_PER_OCTAVE * HOP_S)
      }
  return { frames, values, slopes }
}
