import { expect, it } from 'vitest'
import { compareFigures } from '../../../src/compare/figures.js'

/**
 * Extra hours of sleep by group (Student 1908, data set `sleep` of R), and what R prints for
 * `t.test(extra ~ group, data = sleep)`: means 0.75 and 2.33, 95 percent confidence interval −3.3654832 to 0.2054832 for
 * the first less the second (R documentation, from memory; the interval follows from the data, so a slip would show).
 */
const FIRST = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2]
const SECOND = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]

it("Welch's interval is that of R", () => {
  const { before, after, change } = compareFigures(SECOND, FIRST)
  expect([before, after]).toEqual([expect.closeTo(2.33, 9), expect.closeTo(0.75, 9)])
  expect(change.low).toBeCloseTo(-3.3654832, 6)
  expect(change.high).toBeCloseTo(0.2054832, 6)
})
