import { describe, expect, it } from 'vitest'
import { coverOtherReading } from './otherReading.js'

describe('coverOtherReading', () => {
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
