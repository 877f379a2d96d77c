import { expect, it } from 'vitest'
import { wilsonInterval } from '../../../src/ratio/wilson.js'

/**
 * R. G. Newcombe, "Two-sided confidence intervals for the single proportion: comparison of seven methods",
 * Statistics in Medicine 17 (1998) 857–872, Table I, method 3 (score, no continuity correction).
 * Four-figure values quoted from memory; each follows from the closed formula, so a slip would show.
 */
it.each([
  [81, 263, 0.2553, 0.3662],
  [15, 148, 0.0624, 0.1605],
  [0, 20, 0, 0.1611],
  [1, 29, 0.0061, 0.1718],
])('%i of %i -> %f to %f', (count, n, low, high) => {
  const [from, to] = wilsonInterval(count / n, n)
  expect(from).toBeCloseTo(low, 4)
  expect(to).toBeCloseTo(high, 4)
})
