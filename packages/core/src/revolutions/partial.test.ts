import { describe, expect, it } from 'vitest'
import { type Between, partialPlace } from './partial.js'

const fill = (value: number) => new Float64Array(1).fill(value)
const between = (value: number, change: Partial<Between> = {}): Between => ({
  values: fill(value),
  levels: { low: fill(-0.5), high: fill(0.5), spread: fill(0.1) },
  trust: fill(1),
  separation: fill(10),
  twoKinds: fill(0.9),
  ...change,
})

describe('partialPlace', () => {
  it('gives the place of a turn well away from both kinds', () => {
    expect(partialPlace(between(0), 0)).toBeCloseTo(0.5, 12)
    expect(partialPlace(between(-0.2), 0)).toBeCloseTo(0.3, 12)
  })
  it('is null near a kind and beyond it', () => {
    for (const value of [-0.9, -0.5, -0.3, 0.35, 0.5, 1]) expect(partialPlace(between(value), 0)).toBeNull()
  })
  it('is null where the kinds cannot be told well enough', () => {
    expect(partialPlace(between(0, { trust: fill(0.4) }), 0)).toBeNull()
    expect(partialPlace(between(0, { separation: fill(3) }), 0)).toBeNull()
    expect(partialPlace(between(0, { twoKinds: fill(0.2) }), 0)).toBeNull()
  })
})
