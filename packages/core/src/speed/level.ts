import type { BandSignal } from '../bands/filterBank.js'

/**
 * Divides a channel by its own running mean (envelopes, then less 1) or running rms (waveforms) over `spanS`:
 * a phone's levelling, gusts and the colour of the place drop out.
 */
export function levelChannel(signal: BandSignal, spanS: number): Float32Array {
  const { values, rateHz, band } = signal
  const half = Math.max(1, Math.round((spanS * rateHz) / 2))
  const n = values.length
  const squared = band.form === 'wave'
  const sums = new Float64Array(n + 1)
  for (let i = 0; i < n; i++) sums[i + 1] = sums[i]! + (squared ? values[i]! ** 2 : values[i]!)
  const out = new Float32Array(n)
  const floor = 1e-3 * (sums[n]! / Math.max(1, n)) + 1e-12
  for (let i = 0; i < n; i++) {
    const from = Math.max(0, i - half)
    const to = Math.min(n, i + half + 1)
    const mean = (sums[to]! - sums[from]!) / (to - from) + floor
    out[i] = squared ? values[i]! / Math.sqrt(mean) : values[i]! / mean - 1
  }
  return out
}
