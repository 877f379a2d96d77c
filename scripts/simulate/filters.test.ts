import { describe, expect, it } from 'vitest'
import { biquad, decimate, filter, rootMeanSquare } from './filters.js'

const RATE_HZ = 44100
const tone = (hz: number, rateHz = RATE_HZ) =>
  Float32Array.from({ length: rateHz }, (_, i) => Math.sin((2 * Math.PI * hz * i) / rateHz))
const gainDb = (out: Float32Array, into: Float32Array) =>
  20 * Math.log10(rootMeanSquare(out, out.length >> 2, out.length >> 1) / rootMeanSquare(into))

describe('biquad', () => {
  // By definition of the filters: a band passes its centre at 0 dB and is 3 dB down at the edges set by its Q.
  it('passes the centre of a band and falls by 3 dB at its edges', () => {
    const section = biquad('band', RATE_HZ, 700, 7)
    expect(gainDb(filter(tone(700), section), tone(700))).toBeCloseTo(0, 1)
    const edge = 700 * (Math.sqrt(1 + 1 / (4 * 49)) + 1 / 14)
    expect(gainDb(filter(tone(edge), section), tone(edge))).toBeCloseTo(-3, 0)
  })

  it('is 3 dB down at the corner of a Butterworth low-pass and 12 dB an octave on', () => {
    const section = biquad('low', RATE_HZ, 500, Math.SQRT1_2)
    expect(gainDb(filter(tone(500), section), tone(500))).toBeCloseTo(-3, 1)
    const [one, two] = [2000, 4000].map((hz) => gainDb(filter(tone(hz), section), tone(hz)))
    expect(two! - one!).toBeCloseTo(-12, 0)
  })
})

describe('decimate', () => {
  it('keeps a tone below the new half rate and removes one that would fold', () => {
    expect(gainDb(decimate(tone(5000), 2), tone(5000))).toBeCloseTo(0, 1)
    expect(gainDb(decimate(tone(14000), 2), tone(14000))).toBeLessThan(-60)
  })
})
