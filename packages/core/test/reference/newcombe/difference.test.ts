import { expect, it } from 'vitest'
import { differenceReach } from '../../../src/compare/difference.js'
import { wilsonInterval } from '../../../src/ratio/wilson.js'

/**
 * R. G. Newcombe, "Interval estimation for the difference between independent proportions: comparison of eleven methods",
 * Statistics in Medicine 17 (1998) 873–890, Table II, method 10 (score intervals, square and add). The first two rows are
 * also what the R package propint is tested against; the others are quoted from memory. A slip would show, as each follows
 * from the closed formula.
 */
it.each([
  [56, 70, 48, 80, 0.0524, 0.3339],
  [9, 10, 3, 10, 0.1705, 0.809],
  [6, 7, 2, 7, 0.0582, 0.8062],
  [5, 56, 0, 29, -0.0381, 0.1926],
  [0, 10, 0, 20, -0.1611, 0.2775],
  [0, 10, 0, 10, -0.2775, 0.2775],
  [10, 10, 0, 20, 0.6791, 1],
  [10, 10, 0, 10, 0.6075, 1],
])('%i of %i less %i of %i: %f to %f', (count, n, otherCount, otherN, low, high) => {
  const share = (k: number, of: number) => ({ value: k / of, interval: wilsonInterval(k / of, of) })
  const after = share(count, n)
  const before = share(otherCount, otherN)
  const { down, up } = differenceReach(before, after)
  const value = after.value - before.value
  expect(value - down).toBeCloseTo(low, 4)
  expect(value + up).toBeCloseTo(high, 4)
})
