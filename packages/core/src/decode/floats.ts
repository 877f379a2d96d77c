import { InputError } from '../errors.js'
import { FLOAT_ABSURD_PEAK, FLOAT_SCALE_PEAK, MENDABLE_SHARE } from './constants.js'
import type { DecodeNote } from './types.js'

/** What is odd about float samples. */
export interface FloatOddities {
  readonly total: number
  /** Samples that are no numbers or infinite. */
  readonly bad: number
  /** Largest of the others. */
  readonly peak: number
}

/** Looks through float samples, piece by piece; `found` is what the pieces before have given. */
export function surveyFloats(
  channels: readonly Float32Array[],
  found: FloatOddities = { total: 0, bad: 0, peak: 0 },
): FloatOddities {
  let { total, bad, peak } = found
  for (const samples of channels) {
    total += samples.length
    for (let i = 0; i < samples.length; i++) {
      const size = Math.abs(samples[i]!)
      if (!(size < Infinity)) bad++
      else if (size > peak) peak = size
    }
  }
  return { total, bad, peak }
}

/**
 * Judges float samples: a few that are no numbers may become 0, integers stored as floats are scaled to full scale 1, and
 * values a little beyond full scale are kept.
 *
 * @param notes gets `repaired-samples`, `odd-header` or `clipped-float`
 * @returns factor that brings the samples to full scale 1
 * @throws {InputError} `not-finite` when more than one sample in a thousand is NaN or infinite, or beyond any range
 */
export function judgeFloats({ total, bad, peak }: FloatOddities, notes: DecodeNote[]): number {
  if (bad > total * MENDABLE_SHARE) {
    const share = Math.ceil((100 * bad) / total)
    throw new InputError(
      'not-finite',
      `${share} % of the float samples are not numbers`,
      'export the clip again',
    )
  }
  if (peak > FLOAT_ABSURD_PEAK) {
    throw new InputError(
      'not-finite',
      `float samples reach ${peak.toExponential(0)}; full scale is 1`,
      'export the clip again',
    )
  }
  if (bad > 0) {
    notes.push({
      code: 'repaired-samples',
      message: `${bad} of ${total} samples were not numbers and became 0.`,
    })
  }
  if (peak > FLOAT_SCALE_PEAK) {
    const scale = 2 ** -Math.ceil(Math.log2(peak))
    const message = `Float samples reach ${peak.toPrecision(3)} where full scale is 1; scaled down by ${1 / scale}.`
    notes.push({ code: 'odd-header', message })
    return scale
  }
  if (peak > 1) {
    const message = `Float samples reach ${peak.toPrecision(3)} where full scale is 1; kept as they are.`
    notes.push({ code: 'clipped-float', message })
  }
  return 1
}

/** Makes float samples fit for use, in place, as {@link judgeFloats} has found. */
export function mendFloats(channels: readonly Float32Array[], scale: number): void {
  for (const samples of channels)
    for (let i = 0; i < samples.length; i++) {
      const x = samples[i]!
      samples[i] = Math.abs(x) < Infinity ? x * scale : 0
    }
}
