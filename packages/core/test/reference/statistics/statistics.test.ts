import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { differenceReach } from '../../../src/compare/difference.js'
import { compareFigures } from '../../../src/compare/figures.js'
import { MAD_TO_SD, mad, quantile, Z95 } from '../../../src/math/stats.js'
import { student95, studentBelow } from '../../../src/math/student.js'
import { wilsonInterval } from '../../../src/ratio/wilson.js'

type Pair = readonly [number, number]

/** Written by generate.py beside it, which says with what. */
const reference: {
  readonly student: readonly { readonly freedom: number; readonly point: number; readonly below: Pair[] }[]
  readonly wilson: readonly { readonly count: number; readonly n: number; readonly interval: Pair }[]
  readonly newcombe: readonly { readonly after: Pair; readonly before: Pair; readonly interval: Pair }[]
  readonly welch: { readonly before: number[]; readonly after: number[]; readonly interval: Pair }
  readonly quantiles: { readonly values: number[]; readonly at: Pair[]; readonly medianDistance: number }
  readonly normal: { readonly point: number; readonly medianToSd: number }
} = JSON.parse(readFileSync(new URL('statistics.json', import.meta.url), 'utf8'))

describe("Student's t is that of SciPy", () => {
  // The library finds points by steps, to some 1e-8 of the chance; those of few degrees are large, so a share of them is held.
  it.each(reference.student)('with $freedom degrees of freedom', ({ freedom, point, below }) => {
    expect(student95(freedom) / point).toBeCloseTo(1, 5)
    for (const [t, chance] of below) expect(studentBelow(t, freedom)).toBeCloseTo(chance, 6)
  })
})

describe('intervals are those of statsmodels', () => {
  // Z95 has seven figures, which moves no bound by 1e-7.
  it.each(reference.wilson)('of $count of $n, by Wilson', ({ count, n, interval }) => {
    const found = wilsonInterval(count / n, n)
    expect(found[0]).toBeCloseTo(interval[0], 6)
    expect(found[1]).toBeCloseTo(interval[1], 6)
  })

  it.each(reference.newcombe)('of $after less $before, by Newcombe', ({ after, before, interval }) => {
    const share = ([count, n]: Pair) => ({ value: count / n, interval: wilsonInterval(count / n, n) })
    const { down, up } = differenceReach(share(before), share(after))
    const value = share(after).value - share(before).value
    expect(value - down).toBeCloseTo(interval[0], 6)
    expect(value + up).toBeCloseTo(interval[1], 6)
  })

  it('of hours of sleep, by Welch', () => {
    const { before, after, interval } = reference.welch
    const { change } = compareFigures(before, after)
    expect(change.low).toBeCloseTo(interval[0], 6)
    expect(change.high).toBeCloseTo(interval[1], 6)
  })
})

describe('quantiles are those of NumPy', () => {
  const { values, at, medianDistance } = reference.quantiles
  it.each(at)('at %f', (q, value) => expect(quantile(values, q)).toBeCloseTo(value, 12))
  it('and the median distance from the median that of SciPy', () =>
    expect(mad(values)).toBeCloseTo(medianDistance, 12))
})

it('constants of the normal distribution are those of SciPy, to the figures given', () => {
  expect(Z95).toBeCloseTo(reference.normal.point, 6)
  expect(MAD_TO_SD).toBeCloseTo(reference.normal.medianToSd, 4)
})
