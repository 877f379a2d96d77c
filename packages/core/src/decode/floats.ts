import { InputError } from '../errors.js'
import { FLOAT_ABSURD_PEAK, FLOAT_SCALE_PEAK, MENDABLE_SHARE } from './constants.js'
import type { DecodeNote } from './types.js'

/**
 * Makes float samples fit for use, in place: a few that are no numbers become 0, integers stored as floats are scaled
 * to full scale 1, and values a little beyond full scale are kept.
 *
 * @param channels any lengths
 * @param notes    gets `repaired-samples`, `odd-header` or `clipped-float`
 * @throws {InputError} `not-finite` when more than one sample in a thousand is NaN or infinite, or beyond any range
 */
export function mendFloats(channels: readonly Float32Array[], notes: DecodeNote[]): void {
  let bad = 0
  let total = 0
  let peak = 0
  for (const samples of channels) {
    total += samples.length
    for (let i = 0; i < samples.length; i++) {
      const size = Math.abs(samples[i]!)
      if (size < Infinity) {
        if (size > peak) peak = size
      } else {
        samples[i] = 0
        bad++
      }
    }
  }
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
    for (const samples of channels) for (let i = 0; i < samples.length; i++) samples[i]! *= scale
    const message = `Float samples reach ${peak.toPrecision(3)} where full scale is 1; scaled down by ${1 / scale}.`
    notes.push({ code: 'odd-header', message })
  } else if (peak > 1) {
    const message = `Float samples reach ${peak.toPrecision(3)} where full scale is 1; kept as they are.`
    notes.push({ code: 'clipped-float', message })
  }
}
