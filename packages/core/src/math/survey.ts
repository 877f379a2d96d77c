/** Samples told apart by {@link SoundSurvey.peaks}. Chosen. */
export const CHUNK = 1024

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
  const peaks = new Float32Array(Math.ceil(samples.length / CHUNK))
  let low = Infinity
  let high = -Infinity
  let squares = 0
  for (let n = 0, i = 0; n < peaks.length; n++) {
    const end = Math.min(samples.length, i + CHUNK)
    let lowest = Infinity
    let highest = -Infinity
    for (; i < end; i++) {
      const x = samples[i]!
      if (x < lowest) lowest = x
      if (x > highest) highest = x
      squares += x * x
    }
    low = Math.min(low, lowest)
    high = Math.max(high, highest)
    peaks[n] = Math.max(-lowest, highest)
  }
  return { low, high, meanSquare: squares / samples.length, peaks }
}
