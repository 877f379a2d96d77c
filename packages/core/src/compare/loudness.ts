import FFT from 'fft.js'
import { aWeight } from './aWeighting.js'
import type { Pass } from './passes.js'

/** Longest frame, seconds: lines 2.7 to 5.4 Hz apart, fine enough for the steep low end of the weighting. Chosen. */
const FRAME_S = 0.38

/**
 * A-weighted level of a pass while it runs in the common mix, dB re full scale (a full-scale sine at 1 kHz has −3.0).
 *
 * Hann frames with half overlap; each counts by the weight of the turn it is centred on. The weighting is applied to the
 * spectrum: within 0.1 dB of the standard's table from 31.5 Hz on.
 *
 * @param weights one for each judged turn, 0–1
 * @returns null where no frame counts or nothing is heard
 */
export function aWeightedLevel({ analysis, turn }: Pass, weights: Float64Array): number | null {
  const { samples, rateHz } = analysis.recording
  const { timeS, durationS } = analysis.revolutions
  const size = 2 ** Math.floor(Math.log2(FRAME_S * rateHz))
  const spectrum = powerSpectrum(size)
  const factors = Float64Array.from({ length: size / 2 + 1 }, (_, k) => aWeight((k * rateHz) / size) ** 2)
  let power = 0
  let count = 0
  let next = 0
  for (let start = 0; start + size <= samples.length; start += size / 2) {
    const middleS = (start + size / 2) / rateHz
    while (next + 1 < turn.length && timeS[turn[next + 1]!]! <= middleS) next++
    const at = turn[next]
    if (at === undefined || middleS < timeS[at]! || middleS >= timeS[at]! + durationS[at]!) continue
    const weight = weights[next]!
    if (weight === 0) continue
    const lines = spectrum(samples.subarray(start, start + size))
    for (let k = 0; k < lines.length; k++) power += weight * lines[k]! * factors[k]!
    count += weight
  }
  return power > 0 ? 10 * Math.log10(power / count) : null
}

/** One-sided power spectrum of a frame of `size` samples; its sum is the mean square. */
function powerSpectrum(size: number): (frame: Float32Array) => Float64Array {
  const fft = new FFT(size)
  const out = fft.createComplexArray()
  const window = Float64Array.from({ length: size }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size))
  const squares = window.reduce((sum, w) => sum + w * w, 0)
  const lines = new Float64Array(size / 2 + 1)
  return (frame) => {
    const input = Array.from(frame, (value, i) => value * window[i]!)
    fft.realTransform(out, input)
    for (let k = 0; k < lines.length; k++) {
      const both = k === 0 || k === size / 2 ? 1 : 2
      lines[k] = (both * (out[2 * k]! ** 2 + out[2 * k + 1]! ** 2)) / (size * squares)
    }
    return lines
  }
}
