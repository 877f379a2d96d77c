import FFT from 'fft.js'
import type { Sound } from './clip.js'

/** Length of the window, seconds: parts tones 20 Hz from each other, half an order at 1,200 rpm and up. Derived. */
const WINDOW_S = 0.1

/**
 * Loudness of tones over time.
 *
 * @param columns times, seconds
 * @param topHz   highest tone
 * @returns dB, column after column from the lowest tone up, `bins` each of `stepHz`
 */
export function spectra(
  { samples, rateHz }: Sound,
  columns: ArrayLike<number>,
  topHz: number,
): { readonly db: Float32Array; readonly bins: number; readonly stepHz: number } {
  // The next power of two pads with nothing, which only draws the same spectrum finer.
  const length = Math.round(WINDOW_S * rateHz)
  const size = 2 ** Math.ceil(Math.log2(length * 1.5))
  const fft = new FFT(size)
  const out = fft.createComplexArray()
  const data = new Float32Array(size)
  const window = Float32Array.from(
    { length },
    (_, k) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (k + 0.5)) / length),
  )
  const stepHz = rateHz / size
  const bins = Math.min(size / 2, Math.ceil(topHz / stepHz))
  const db = new Float32Array(bins * columns.length)
  for (let c = 0; c < columns.length; c++) {
    const start = Math.round(columns[c]! * rateHz - length / 2)
    for (let k = 0; k < length; k++) data[k] = (samples[start + k] ?? 0) * window[k]!
    fft.realTransform(out, data)
    for (let b = 0; b < bins; b++) {
      db[c * bins + b] = 10 * Math.log10(out[2 * b]! ** 2 + out[2 * b + 1]! ** 2 + 1)
    }
  }
  return { db, bins, stepHz }
}
