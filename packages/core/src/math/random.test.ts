import { expect, it } from 'vitest'
import { seededRandom } from './random.js'
import { mean } from './stats.js'

it('repeats with the seed and differs without', () => {
  const draw = (seed: number) => {
    const next = seededRandom(seed)
    return Array.from({ length: 5 }, next)
  }
  expect(draw(7)).toEqual(draw(7))
  expect(draw(7)).not.toEqual(draw(8))
})

it('is uniform: mean 1/2, variance 1/12, no memory of the last draw', () => {
  const next = seededRandom(1)
  const draws = Array.from({ length: 40_000 }, next)
  expect(Math.min(...draws)).toBeGreaterThanOrEqual(0)
  expect(Math.max(...draws)).toBeLessThan(1)
  // Five standard errors each: 5 sqrt(1/12/40000), 5 sqrt(1/180/40000), 5/sqrt(40000).
  expect(Math.abs(mean(draws) - 0.5)).toBeLessThan(0.0073)
  const squares = draws.map((x) => (x - 0.5) ** 2)
  expect(Math.abs(mean(squares) - 1 / 12)).toBeLessThan(0.0019)
  const products = draws.slice(1).map((x, i) => (x - 0.5) * (draws[i]! - 0.5) * 12)
  expect(Math.abs(mean(products))).toBeLessThan(0.025)
})
