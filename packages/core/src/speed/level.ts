import type { BandSignal } from '../bands/filterBank.js'
import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'

/**
 * Divides a channel by its own running mean (envelopes, then less 1) or running rms (waveforms) over `spanS`:
 * a phone's levelling, gusts and the colour of the place drop out.
 */
export function levelChannel(signal: BandSignal, spanS: number): Float32Array {
  const { values, rateHz, band } = signal
  const half = Math.max(1, Math.round((spanS * rateHz) / 2))
  const layout = makeLayout()
  const sound = layout.take(values.length)
  const sums = layout.take(2 * (values.length + 1))
  const levelled = layout.take(values.length)
  const kernels = borrowKernels(layout.total())
  kernels.floats.set(values, sound)
  kernels.levelRow(sound, values.length, half, band.form === 'wave', sums, levelled)
  return kernels.floats.slice(levelled, levelled + values.length)
}
