import { describe, expect, it } from 'vitest'
import { student95, studentBelow } from './student.js'

describe("Student's t", () => {
  it('has closed forms for one and two degrees of freedom', () => {
    for (const t of [-40, -1, -0.01, 0, 0.3, 1, 7]) {
      expect(studentBelow(t, 1)).toBeCloseTo(0.5 + Math.atan(t) / Math.PI, 7)
      expect(studentBelow(t, 2)).toBeCloseTo(0.5 + t / (2 * Math.sqrt(2 + t * t)), 7)
    }
  })
  it('is the normal distribution in the limit, and its own inverse between whole degrees', () => {
    expect(student95(1e7)).toBeCloseTo(1.959964, 5)
    for (const freedom of [0.5, 2.7, 33.3])
      expect(studentBelow(student95(freedom), freedom)).toBeCloseTo(0.975, 6)
  })
})
