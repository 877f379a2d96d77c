import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { catmullRom } from './interpolate.js'

describe('catmullRom', () => {
  it('passes through the values', () => {
    const values = [3, -1, 4, 1, -5, 9]
    values.forEach((v, i) => {
      expect(catmullRom(values, i)).toBe(v)
    })
  })
  it('follows any parabola exactly between inner values', () => {
    // Tangents are central differences, exact for a parabola, and a cubic is fixed by two values and two tangents.
    const coefficient = fc.double({ min: -10, max: 10, noNaN: true })
    fc.assert(
      fc.property(
        coefficient,
        coefficient,
        coefficient,
        fc.double({ min: 1, max: 6, noNaN: true }),
        (a, b, c, x) => {
          const values = Array.from({ length: 8 }, (_, i) => a + b * i + c * i * i)
          expect(catmullRom(values, x)).toBeCloseTo(a + b * x + c * x * x, 9)
        },
      ),
    )
  })
  it('has the textbook weights -1, 9, 9, -1 of 16 half-way', () => {
    // Catmull & Rom 1974 at parameter 1/2; from memory.
    expect(
      [0, 1, 2, 3].map(
        (i) =>
          16 *
          catmullRom(
            Float64Array.from({ length: 4 }, (_, k) => +(k === i)),
            1.5,
          ),
      ),
    ).toEqual([-1, 9, 9, -1])
  })
  it('holds the end values outside', () => {
    expect(catmullRom([2, 5, 7], -40)).toBe(2)
    expect(catmullRom([2, 5, 7], 40.25)).toBe(7)
  })
  it('is constant for one value, NaN for none and at no position', () => {
    for (const x of [-1.5, 0, 0.5, 3]) expect(catmullRom([6], x)).toBe(6)
    expect(catmullRom([], 0)).toBeNaN()
    expect(catmullRom([1, 2, 3], Number.NaN)).toBeNaN()
  })
})
