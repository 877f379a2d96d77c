import { describe, expect, it } from 'vitest'
import { seededRandom } from '../math/random.js'
import { exact, keyDeg, pistonMm, propagate } from './index.js'

describe('propagate', () => {
  it('is the rule of the guide for sums and products', () => {
    // JCGM 100:2008, 5.1.2: squares add; for a product relative squares add.
    const a = { value: 20, plusMinus: 0.3 }
    const b = { value: 5, plusMinus: 0.4 }
    const sum = propagate((x, y) => x + y, a, b)
    expect(sum.value).toBe(25)
    expect(sum.plusMinus).toBeCloseTo(0.5, 12)
    expect(propagate((x, y) => x * y, a, b).plusMinus).toBeCloseTo(100 * Math.hypot(0.3 / 20, 0.4 / 5), 12)
  })
  it('leaves an exact input out', () => {
    expect(propagate((x) => x / 0, exact(1)).plusMinus).toBe(0)
  })
  it('meets the spread of drawn inputs, for the key and for the piston', () => {
    const next = seededRandom(5)
    const normal = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next())
    const cases: [(...v: number[]) => number, { value: number; plusMinus: number }[]][] = [
      [
        (mm, shaftMm) => keyDeg(mm!, { shaftMm: shaftMm! }),
        [
          { value: 1, plusMinus: 0.05 },
          { value: 15, plusMinus: 0.3 },
        ],
      ],
      [
        (deg, strokeMm, rodMm) => pistonMm(deg!, { strokeMm: strokeMm!, rodMm: rodMm! }),
        [
          { value: 22, plusMinus: 1 },
          { value: 40, plusMinus: 0.2 },
          { value: 85, plusMinus: 2 },
        ],
      ],
    ]
    for (const [formula, inputs] of cases) {
      const drawn = Array.from({ length: 20_000 }, () =>
        formula(...inputs.map((q) => q.value + q.plusMinus * normal())),
      )
      const centre = drawn.reduce((a, b) => a + b) / drawn.length
      const spread = Math.sqrt(drawn.reduce((sum, x) => sum + (x - centre) ** 2, 0) / drawn.length)
      expect(propagate(formula, ...inputs).plusMinus / spread).toBeCloseTo(1, 1)
    }
  })
})
