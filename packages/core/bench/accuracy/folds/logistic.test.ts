import { expect, it } from 'vitest'
import { seededRandom } from '../../../src/math/random.js'
import { type Case, fitLogistic } from './logistic.js'

/** Cases drawn from a known law: log-odds 0.5 + 2 a − 0.1 b, with b in other units. */
function drawn(count: number, seed: number): Case[] {
  const random = seededRandom(seed)
  return Array.from({ length: count }, () => {
    const [a, b] = [2 * random() - 1, 40 * random() - 20]
    return { features: [a, b], is: random() < 1 / (1 + Math.exp(-(0.5 + 2 * a - 0.1 * b))), weight: 1 }
  })
}

it('finds the law that cases were drawn from', () => {
  const { bias, weights } = fitLogistic(drawn(20_000, 1), 1e-6)
  // Standard errors are about 0.02, 0.03 and 0.002.
  expect(bias).toBeCloseTo(0.5, 0.8)
  expect(weights[0]).toBeCloseTo(2, 0.8)
  expect(weights[1]).toBeCloseTo(-0.1, 2)
})

it('stands where the gradient is nothing', () => {
  const cases = drawn(300, 2)
  const { bias, weights } = fitLogistic(cases, 1e-9)
  const left = cases.map(({ features, is }) => {
    const logit = bias + features.reduce((sum, x, j) => sum + x * weights[j]!, 0)
    return (is ? 1 : 0) - 1 / (1 + Math.exp(-logit))
  })
  for (const of of [() => 1, (c: Case) => c.features[0]!, (c: Case) => c.features[1]!])
    expect(cases.reduce((sum, c, i) => sum + of(c) * left[i]!, 0) / cases.length).toBeCloseTo(0, 6)
})

it('takes a case of weight three for three cases', () => {
  const cases = drawn(50, 3)
  const heavy = cases.map((c, i) => ({ ...c, weight: i < 10 ? 3 : 1 }))
  const repeated = [...cases, ...cases.slice(0, 10), ...cases.slice(0, 10)]
  const [a, b] = [fitLogistic(heavy, 0.01), fitLogistic(repeated, 0.01)]
  expect(a.bias).toBeCloseTo(b.bias, 6)
  expect(a.weights[0]).toBeCloseTo(b.weights[0]!, 6)
})

it('does not run away where both kinds are apart, nor at a feature that never changes', () => {
  const apart = [-2, -1, 1, 2].map((x) => ({ features: [x, 7], is: x > 0, weight: 1 }))
  const { bias, weights } = fitLogistic(apart, 0.01)
  expect(weights[0]).toBeGreaterThan(1)
  expect(weights[0]).toBeLessThan(10)
  expect(weights[1]).toBe(0)
  expect(bias).toBeCloseTo(0, 6)
})

it('does not depend on the units of a feature but for the ridge on none', () => {
  const cases = drawn(200, 4)
  const scaled = cases.map((c) => ({ ...c, features: [c.features[0]! * 1000, c.features[1]!] }))
  expect(fitLogistic(scaled, 0.1).weights[0]! * 1000).toBeCloseTo(fitLogistic(cases, 0.1).weights[0]!, 6)
})
