import { describe, expect, it } from 'vitest'
import type { Ratio } from '../ratio/types.js'
import { coverOpenTurns } from './otherReading.js'

const coverOtherReading = (ratio: Ratio, factor: number): Ratio =>
  coverOpenTurns(ratio, [{ share: 1, value: ratio.value ?? 0, factor }])

describe('another reading of the whole', () => {
  it('covers alternation and clean running, which are one sound read in two ways', () => {
    const clean = { value: 0, low: 0, high: 0.02, turns: 100 }
    expect(coverOtherReading(clean, 2)).toEqual({ value: 0, low: 0, high: 0.51, turns: 100 })
    const alternate = { value: 0.5, low: 0.47, high: 0.53, turns: 200 }
    const both = coverOtherReading(alternate, 0.5)
    expect(both.low).toBe(0)
    expect(both.high).toBe(0.53)
  })
  it('covers one turn in three firing when a third of the speed fits too, and the other way round', () => {
    expect(coverOtherReading({ value: 2 / 3, low: 0.64, high: 0.69, turns: 90 }, 1 / 3).low).toBe(0)
    expect(coverOtherReading({ value: 0, low: 0, high: 0, turns: 30 }, 3).high).toBeCloseTo(2 / 3, 12)
  })
  it('leaves alone what cannot be told', () => {
    const cannotTell = { value: null, low: null, high: null, turns: 0 }
    expect(coverOtherReading(cannotTell, 2)).toBe(cannotTell)
  })
})

describe('another reading of a part', () => {
  const half: Ratio = { value: 0.5, low: 0.47, high: 0.53, turns: 1000 }
  it('moves a bound by the share of the turns that are open', () => {
    const { low, high } = coverOpenTurns(half, [{ share: 0.4, value: 0.5, factor: 0.5 }])
    expect(low).toBeCloseTo(0.47 - 0.4 * 0.47, 12)
    expect(high).toBe(0.53)
  })
  it('adds up where several stretches are open, whatever their order', () => {
    const open = [
      { share: 0.3, value: 0.5, factor: 0.5 },
      { share: 0.2, value: 0.5, factor: 2 },
    ]
    const both = coverOpenTurns(half, open)
    expect(both.low).toBeCloseTo(0.47 - 0.3 * 0.47, 12)
    expect(both.high).toBeCloseTo(0.53 + 0.2 * (1 - 0.47 / 2 - 0.53), 12)
    const turned = coverOpenTurns(half, [...open].reverse())
    expect(turned.low).toBeCloseTo(both.low!, 12)
    expect(turned.high).toBeCloseTo(both.high!, 12)
  })
})
