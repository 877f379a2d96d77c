import { describe, expect, it } from 'vitest'
import { resample } from './resample.js'

const tone = (hz: number, rateHz: number, n: number, phase = 0) =>
  Float32Array.from({ length: n }, (_, i) => Math.cos((2 * Math.PI * hz * i) / rateHz + phase))
/** Samples within reach of the ends, where the kernel sees silence: 17 zero crossings at half the new rate, and more. */
const EDGE = 40
/** Largest distance from `wanted` away from the ends. */
const farthest = (values: Float32Array, wanted: (k: number) => number) =>
  values.reduce(
    (most, v, k) => (k < EDGE || k >= values.length - EDGE ? most : Math.max(most, Math.abs(v - wanted(k)))),
    0,
  )

describe('resample', () => {
  it.each([
    [44100, 16000],
    [48000, 16000],
    [96000, 16000],
    [22050, 16000],
    [11025, 16000],
    [8000, 16000],
    [44101, 16000],
  ])('brings a tone from %i to %i Hz as if it had been sampled there', (from, to) => {
    for (const hz of [50, 1000, 0.4 * Math.min(from, to)]) {
      const out = resample(tone(hz, from, from / 2, 1), from, to)
      expect(out).toHaveLength(Math.ceil((Math.floor(from / 2) * to) / from))
      expect(farthest(out, (k) => Math.cos((2 * Math.PI * hz * k) / to + 1))).toBeLessThan(0.001)
    }
  })
  it('keeps a pulse at its time across the seams of its blocks', () => {
    const from = 44100
    const to = 16000
    for (const atS of [0.01, 0.256, 0.2561, 0.5125, 0.99]) {
      const samples = new Float32Array(from)
      // A Gaussian of 0.2 ms: narrow, yet free of what lies above the new Nyquist frequency.
      for (let i = 0; i < from; i++) samples[i] = Math.exp(-(((i / from - atS) / 2e-4) ** 2))
      const out = resample(samples, from, to)
      const centre = out.reduce((sum, v, k) => sum + (v * k) / to, 0) / out.reduce((sum, v) => sum + v, 0)
      expect(Math.abs(centre - atS)).toBeLessThan(1e-6)
    }
  })
  it('stops what lies above the new Nyquist frequency by 60 dB and more', () => {
    for (const hz of [9000, 12_000, 20_000])
      expect(farthest(resample(tone(hz, 44100, 44100), 44100, 16000), () => 0)).toBeLessThan(0.001)
  })
  it('hands equal rates on as a copy', () => {
    const samples = Float32Array.of(1, -2, 3)
    const out = resample(samples, 16000, 16000)
    expect([...out]).toEqual([1, -2, 3])
    expect(out).not.toBe(samples)
  })
  it('takes nothing, one sample and silence', () => {
    expect(resample(new Float32Array(0), 44100, 16000)).toHaveLength(0)
    expect(resample(Float32Array.of(1), 48000, 16000)).toHaveLength(1)
    expect(resample(new Float32Array(500), 44100, 16000).every((v) => v === 0)).toBe(true)
  })
})
