import { expect, it } from 'vitest'
import { student95, studentBelow } from '../../../src/math/student.js'

/** 97.5 % points of Student's t as printed in every table of it (from memory); what the intervals take from the library. */
it.each([
  [1, 12.706],
  [2, 4.303],
  [4, 2.776],
  [6, 2.447],
  [10, 2.228],
  [30, 2.042],
])('t with %i degrees of freedom: %f', (freedom, point) => {
  expect(student95(freedom)).toBeCloseTo(point, 3)
  expect(studentBelow(point, freedom)).toBeCloseTo(0.975, 4)
  expect(studentBelow(-point, freedom)).toBeCloseTo(0.025, 4)
})
