import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'

/** Samples told apart by {@link SoundSurvey.peaks}. */
export const CHUNK = 1024
/** Chunks looked at at a time. */
const BLOCK = 64

/** What single samples say of a sound. */
export interface SoundSurvey {
  /** Lowest and highest sample; ±Infinity without samples. */
  readonly low: number
  readonly high: number
  /** Mean square; NaN without samples. Neither finite where a sample is no number or infinite. */
  readonly meanSquare: number
  /** Largest absolute value in each whole or broken {@link CHUNK} of samples. */
  readonly peaks: Float32Array
}

/** Looks at all samples once. */
export function surveySound(samples: Float32Array): SoundSurvey {
  const layout = makeLayout()
  const sound = layout.take(BLOCK * CHUNK)
  const found = layout.take(4 * BLOCK)
  const kernels = borrowKernels(layout.total())
  const { floats, doubles } = kernels
  const peaks = new Float32Array(Math.ceil(samples.length / CHUNK))
  let low = Infinity
  let high = -Infinity
  let squares = 0
  for (let first = 0; first < peaks.length; first += BLOCK) {
    const part = samples.subarray(first * CHUNK, (first + BLOCK) * CHUNK)
    const chunks = Math.ceil(part.length / CHUNK)
    floats.set(part, sound)
    // A broken chunk is filled up with its last sample, whose squares are taken off again.
    const missing = chunks * CHUNK - part.length
    floats.fill(part.at(-1)!, sound + part.length, sound + chunks * CHUNK)
    kernels.surveyChunks(sound, CHUNK, chunks, found)
    squares -= missing * part.at(-1)! ** 2
    for (let n = 0; n < chunks; n++) {
      const lowest = floats[found + 4 * n]!
      const highest = floats[found + 4 * n + 1]!
      low = Math.min(low, lowest)
      high = Math.max(high, highest)
      squares += doubles[found / 2 + 2 * n + 1]!
      peaks[first + n] = Math.max(-lowest, highest)
    }
  }
  return { low, high, meanSquare: squares / samples.length, peaks }
}
