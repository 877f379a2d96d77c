import { describe, expect, it } from 'vitest'
import type { BandSignal } from '../bands/filterBank.js'
import { levelChannel } from './level.js'

const RATE_HZ = 2000
const SPAN_S = 0.3
const signal = (form: 'wave' | 'envelope', n: number, at: (i: number) => number): BandSignal => ({
  band: { lowHz: 100, highHz: 200, form },
  rateHz: RATE_HZ,
  values: Float32Array.from({ length: n }, (_, i) => at(i)),
})
const rms = (x: ArrayLike<number>, from: number, to: number) => {
  let sum = 0
  for (let i = from; i < to; i++) sum += x[i]! ** 2
  return Math.sqrt(sum / (to - from))
}
const tone = (i: number) => Math.sin((2 * Math.PI * 150 * i) / RATE_HZ)
/** An envelope about 1 that beats with the crank. */
const beat = (i: number) => 1 + 0.4 * Math.sin((2 * Math.PI * 50 * i) / RATE_HZ)

describe('levelChannel', () => {
  it('brings a waveform to rms 1 at any gain', () => {
    for (const gain of [0.001, 0.3, 20])
      expect(
        rms(
          levelChannel(
            signal('wave', 4000, (i) => gain * tone(i)),
            SPAN_S,
          ),
          1000,
          3000,
        ),
      ).toBeCloseTo(1, 2)
  })
  it('brings an envelope to its relative rise and fall: mean 0', () => {
    for (const gain of [0.001, 0.3, 20]) {
      const out = levelChannel(
        signal('envelope', 4000, (i) => gain * beat(i)),
        SPAN_S,
      )
      for (let i = 1000; i < 3000; i++) expect(Math.abs(out[i]! - (beat(i) - 1))).toBeLessThan(0.01)
    }
  })
  it('takes a step of 20 dB away beyond half a span from it', () => {
    const step = (i: number) => (i < 4000 ? 1 : 10)
    for (const form of ['wave', 'envelope'] as const) {
      const sound = form === 'wave' ? tone : beat
      const out = levelChannel(
        signal(form, 8000, (i) => step(i) * sound(i)),
        SPAN_S,
      )
      const reach = (SPAN_S * RATE_HZ) / 2 + 1
      const before = rms(out, 1000, 4000 - reach)
      const after = rms(out, 4000 + reach, 7000)
      expect(after / before).toBeGreaterThan(0.97)
      expect(after / before).toBeLessThan(1.03)
    }
  })
  it('keeps the signs of a waveform', () => {
    const out = levelChannel(signal('wave', 400, tone), SPAN_S)
    for (let i = 0; i < 400; i++) expect(Math.sign(out[i]!)).toBe(Math.sign(Math.fround(tone(i))))
  })
  it('does not lift a silent stretch beside sound, and is 0 in silence alone', () => {
    const out = levelChannel(
      signal('wave', 8000, (i) => (i < 4000 ? tone(i) : 1e-4 * tone(i))),
      SPAN_S,
    )
    expect(rms(out, 5000, 7000)).toBeLessThan(0.01)
    expect(
      new Set(
        levelChannel(
          signal('wave', 100, () => 0),
          SPAN_S,
        ),
      ),
    ).toEqual(new Set([0]))
    // An envelope of 0 lies wholly below any mean.
    for (const v of levelChannel(
      signal('envelope', 100, () => 0),
      SPAN_S,
    ))
      expect(v).toBe(-1)
  })
  it('takes one value and none', () => {
    expect(
      levelChannel(
        signal('wave', 1, () => -3),
        SPAN_S,
      )[0],
    ).toBeCloseTo(-1, 2)
    expect(
      levelChannel(
        signal('envelope', 1, () => 3),
        SPAN_S,
      )[0],
    ).toBeCloseTo(0, 2)
    expect(
      levelChannel(
        signal('wave', 0, () => 0),
        SPAN_S,
      ),
    ).toHaveLength(0)
  })
})
