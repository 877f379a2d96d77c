import { describe, expect, test } from 'vitest'
import { makeNegative, NEGATIVE_KINDS } from './index.js'

describe.each(NEGATIVE_KINDS)('%s', (kind) => {
  test('is finite, within ±1, audible, and the length asked for', () => {
    for (const seed of [1, 2, 3, 4, 5, 6]) {
      const { samples, rateHz } = makeNegative(kind, seed, 1)
      expect(samples.length).toBe(rateHz)
      let peak = 0
      for (const v of samples)
        peak = Math.max(peak, Number.isFinite(v) ? Math.abs(v) : Number.POSITIVE_INFINITY)
      expect(peak).toBeLessThanOrEqual(1)
      expect(peak).toBeGreaterThan(0.02)
    }
  })

  test('is the same for the same seed and differs between seeds', () => {
    const a = makeNegative(kind, 1, 0.5)
    expect(Buffer.from(makeNegative(kind, 1, 0.5).samples.buffer).equals(Buffer.from(a.samples.buffer))).toBe(
      true,
    )
    expect(Buffer.from(makeNegative(kind, 2, 0.5).samples.buffer).equals(Buffer.from(a.samples.buffer))).toBe(
      false,
    )
  })
})
