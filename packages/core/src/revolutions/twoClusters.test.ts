import { describe, expect, it } from 'vitest'
import { seededRandom } from '../math/random.js'
import { twoClusters } from './twoClusters.js'

const SIZE = 256
const DIRECTIONS = 6

/** Columns of noise, the first moved by `distance` standard deviations where `kind` is 1; mean 0, unit length. */
function columns(kind: (i: number) => number, distance: number, seed = 1): Float64Array[] {
  const random = seededRandom(seed)
  // Box and Muller.
  const gauss = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
  return Array.from({ length: DIRECTIONS }, (_, d) => {
    const column = Float64Array.from(
      { length: SIZE },
      (_v, i) => gauss() + (d === 0 ? distance * kind(i) : 0),
    )
    const mean = column.reduce((a, b) => a + b, 0) / SIZE
    const length = Math.hypot(...column.map((v) => v - mean))
    return column.map((v) => (v - mean) / length)
  })
}
const rightShare = (values: Float64Array, kind: (i: number) => number): number => {
  const right = values.reduce((sum, v, i) => sum + (v > 0 === (kind(i) === 1) ? 1 : 0), 0) / SIZE
  return Math.max(right, 1 - right)
}

describe('twoClusters', () => {
  it('parts two kinds that stand five standard deviations apart, equally many or one in five', () => {
    for (const period of [2, 5]) {
      const kind = (i: number) => (i % period === 0 ? 1 : 0)
      const { values, separation } = twoClusters(columns(kind, 5))
      expect(rightShare(values, kind)).toBeGreaterThan(0.97)
      // The distance is known to about a tenth from 256 points.
      expect(separation).toBeGreaterThan(4.4)
      expect(separation).toBeLessThan(6)
    }
  })
  it('puts the clusters at −1 and 1', () => {
    const kind = (i: number) => i % 2
    const { values } = twoClusters(columns(kind, 6))
    const means = [0, 1].map((k) => {
      const own = values.filter((_, i) => kind(i) === k)
      return own.reduce((a, b) => a + b, 0) / own.length
    })
    expect(Math.abs(means[0]!)).toBeCloseTo(1, 1)
    expect(means[1]!).toBeCloseTo(-means[0]!, 1)
  })
  it('finds clusters of noise no further apart than chance sets them', () => {
    for (let seed = 1; seed <= 20; seed++)
      expect(twoClusters(columns(() => 0, 0, seed)).separation).toBeLessThan(3.6)
  })
  it('finds none in silence', () => {
    const silent = Array.from({ length: DIRECTIONS }, () => new Float64Array(SIZE))
    expect(twoClusters(silent)).toEqual({ values: new Float64Array(SIZE), separation: 0 })
  })
})
