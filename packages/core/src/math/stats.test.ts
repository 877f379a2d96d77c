import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { clamp, logistic, mad, mean, median, movingMean, movingMedian, quantile, spanMean } from './stats.js'

const finite = fc.double({ min: -1e6, max: 1e6, noNaN: true })

describe('quantile', () => {
  it('is NaN for nothing and the value itself for one', () => {
    expect(quantile([], 0.5)).toBeNaN()
    expect(quantile([3], 0.1)).toBe(3)
  })
  it('leaves its input alone', () => {
    const values = [3, 1, 2]
    median(values)
    expect(values).toEqual([3, 1, 2])
  })
  it('stays between the extremes and never falls with q', () => {
    fc.assert(
      fc.property(
        fc.array(finite, { minLength: 1 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (values, q) => {
          const at = quantile(values, q)
          expect(at).toBeGreaterThanOrEqual(Math.min(...values))
          expect(at).toBeLessThanOrEqual(Math.max(...values))
          expect(quantile(values, Math.min(1, q + 0.1))).toBeGreaterThanOrEqual(at - 1e-6)
        },
      ),
    )
  })
})

describe('spread', () => {
  it('takes the median distance from the median', () => {
    expect(mad([1, 1, 2, 2, 4, 6, 9])).toBe(1)
  })
})

describe('moving', () => {
  it('leaves a straight line as it is', () => {
    const line = Array.from({ length: 20 }, (_, i) => 3 * i - 5)
    expect([...movingMean(line, 4)].map((x) => Number(x.toFixed(9)))).toEqual(line)
    expect([...movingMedian(line, 4)]).toEqual(line)
  })
  it('drops a lone outlier (median) or spreads it (mean)', () => {
    const spike = [0, 0, 0, 9, 0, 0, 0]
    expect([...movingMedian(spike, 1)]).toEqual([0, 0, 0, 0, 0, 0, 0])
    expect([...movingMean(spike, 1)]).toEqual([0, 0, 3, 3, 3, 0, 0])
  })
  it('takes what exists of a span', () => {
    const values = [8, 4, 0, 4, 8]
    expect([...spanMean(values, 4)]).toEqual([6, 4, 4, 4, 4])
    expect([...spanMean(values, 3)]).toEqual([6, 4, 8 / 3, 4, 6])
    expect([...spanMean(values, 1)]).toEqual(values)
  })
  it('is silent in silence behind sound', () => {
    const means = spanMean(new Float32Array(40).fill(0.1, 0, 20), 5)
    expect(means.subarray(23).every((v) => v >= 0 && v < 1e-9)).toBe(true)
  })
  it('gives nothing for nothing', () => {
    expect(movingMean([], 3)).toHaveLength(0)
    expect(spanMean([], 3)).toHaveLength(0)
    expect(movingMedian([], 3)).toHaveLength(0)
    expect(mean([])).toBeNaN()
  })
})

describe('logistic and clamp', () => {
  it('turns log odds into probability', () => {
    expect(logistic(0)).toBe(0.5)
    expect(logistic(Math.log(9))).toBeCloseTo(0.9, 12)
    expect(logistic(-800)).toBe(0)
  })
  it('holds a value between bounds', () => {
    expect([-1, 0.3, 7].map((x) => clamp(x, 0, 1))).toEqual([0, 0.3, 1])
  })
})
