import { describe, expect, it } from 'vitest'
import { exact, propagate } from './index.js'

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
})
