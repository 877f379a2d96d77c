import FFT from 'fft.js'
import { describe, expect, it } from 'vitest'

/** The transform everything stands on, against the defining sum X[k] = Σ x[n] · exp(−2πi·k·n/N). */
describe('fft.js against a direct DFT', () => {
  const size = 64
  const fft = new FFT(size)
  const x = Float64Array.from({ length: size }, (_, n) => Math.sin(0.37 * n * n) + 0.2 * n)

  it('real transform, half spectrum', () => {
    const out = new Float64Array(2 * size)
    fft.realTransform(out, x)
    for (let k = 0; k <= size / 2; k++) {
      let re = 0
      let im = 0
      for (let n = 0; n < size; n++) {
        re += x[n]! * Math.cos((2 * Math.PI * k * n) / size)
        im -= x[n]! * Math.sin((2 * Math.PI * k * n) / size)
      }
      expect(Math.abs(out[2 * k]! - re)).toBeLessThan(1e-9)
      expect(Math.abs(out[2 * k + 1]! - im)).toBeLessThan(1e-9)
    }
  })

  it('inverse transform undoes the forward one', () => {
    const signal = new Float64Array(2 * size)
    for (let n = 0; n < size; n++) signal[2 * n] = x[n]!
    const spectrum = new Float64Array(2 * size)
    const back = new Float64Array(2 * size)
    fft.transform(spectrum, signal)
    fft.inverseTransform(back, spectrum)
    for (let n = 0; n < size; n++) expect(Math.abs(back[2 * n]! - x[n]!)).toBeLessThan(1e-12)
  })
})
