import { describe, expect, it } from 'vitest'
import { seededRandom } from '../math/random.js'
import { twoLevels } from './levels.js'

const series = (n: number, at: (i: number) => number) => Float64Array.from({ length: n }, (_, i) => at(i))

describe('twoLevels', () => {
  it('reads both levels of a clean alternation everywhere', () => {
    const { low, high, spread } = twoLevels(
      series(50, (i) => (i % 2 ? 3 : -1)),
      20,
    )
    expect([...low]).toEqual(new Array(50).fill(-1))
    expect([...high]).toEqual(new Array(50).fill(3))
    // No spread at all is not believed: 12 % of the distance.
    for (const s of spread) expect(s).toBeCloseTo(0.12 * 4, 9)
  })
  it('gives the mean of each kind and the spread within the kinds', () => {
    const random = seededRandom(2)
    const width = 1.2
    const { low, high, spread } = twoLevels(
      series(400, (i) => (i % 3 ? 0 : 2) + width * (random() - 0.5)),
      199,
    )
    // Uniform noise of width w has the standard deviation w / sqrt(12); 100 values: five standard errors.
    const sd = width / Math.sqrt(12)
    expect(Math.abs(low[200]! - 0)).toBeLessThan((5 * sd) / Math.sqrt(260))
    expect(Math.abs(high[200]! - 2)).toBeLessThan((5 * sd) / Math.sqrt(130))
    expect(Math.abs(spread[200]! / sd - 1)).toBeLessThan(0.12)
  })
  it('finds a kind that is rare, down to three of 41', () => {
    const { low, high } = twoLevels(
      series(41, (i) => (i % 14 === 7 ? 5 : 1)),
      20,
    )
    expect(low[20]).toBeCloseTo(1, 12)
    expect(high[20]).toBeCloseTo(5, 12)
  })
  it('follows levels that change along the run and forgets what lies out of reach', () => {
    const { low, high } = twoLevels(
      series(120, (i) => (i < 60 ? 0 : 10) + (i % 2)),
      8,
    )
    for (const n of [20, 48]) expect([low[n], high[n]]).toEqual([0, 1])
    for (const n of [72, 100]) expect([low[n], high[n]]).toEqual([10, 11])
  })
  it('never puts the low level above the high one, and moves with shift and scale', () => {
    const random = seededRandom(9)
    const x = series(80, () => random())
    const plain = twoLevels(x, 20)
    const moved = twoLevels(
      x.map((v) => 3 * v - 7),
      20,
    )
    for (let i = 0; i < 80; i++) {
      expect(plain.low[i]!).toBeLessThan(plain.high[i]!)
      expect(moved.low[i]!).toBeCloseTo(3 * plain.low[i]! - 7, 9)
      expect(moved.high[i]!).toBeCloseTo(3 * plain.high[i]! - 7, 9)
      expect(moved.spread[i]!).toBeCloseTo(3 * plain.spread[i]!, 9)
    }
  })
  it('has one level and a spread above 0 where all is alike, and nothing for nothing', () => {
    const flat = twoLevels(new Float64Array(30), 20)
    expect(Math.max(...flat.high.map(Math.abs))).toBeCloseTo(0, 12)
    expect(Math.min(...flat.spread)).toBeGreaterThan(0)
    const one = twoLevels(Float64Array.of(4), 20)
    expect([one.low[0], one.high[0]]).toEqual([4, 4])
    expect(one.spread[0]!).toBeGreaterThan(0)
    expect(twoLevels(new Float64Array(0), 20).low).toHaveLength(0)
  })
  it('leaves the series in its order', () => {
    const x = Float64Array.of(3, 1, 2, 5, 4)
    twoLevels(x, 2)
    expect([...x]).toEqual([3, 1, 2, 5, 4])
  })
})
