import { describe, expect, it } from 'vitest'
import { seededRandom } from '../math/random.js'
import { student95 } from '../math/student.js'
import type { Ratio } from '../ratio/types.js'
import { pooledRatio } from './pooledRatio.js'

const clip = (value: number | null, turns: number): Ratio => ({ value, low: null, high: null, turns })

describe('pooledRatio', () => {
  it('agrees with a worked example of sampling by clusters', () => {
    // Scheaffer, Mendenhall & Ott, Elementary Survey Sampling, example 8.2: income of 25 of 415 city blocks, in thousands
    // of dollars, and their residents. Published: mean 8,801 dollars, bound on the error 1,617 dollars, which is two
    // standard errors with the correction for a finite city. Here 1 stands for 100,000 dollars, so that shares are 0-1.
    const residents = [8, 12, 4, 5, 6, 6, 7, 5, 8, 3, 2, 6, 5, 10, 9, 3, 6, 5, 5, 4, 6, 8, 7, 3, 8]
    const income = [
      96, 121, 42, 65, 52, 40, 75, 65, 45, 50, 85, 43, 54, 49, 53, 50, 32, 22, 45, 37, 51, 30, 39, 47, 41,
    ]
    const { value, low, high, turns, clips } = pooledRatio(
      residents.map((people, k) => clip(income[k]! / 100 / people, people)),
    )
    expect([turns, clips]).toEqual([151, 25])
    expect(value! * 1e5).toBeCloseTo(8801, 0)
    expect(high! - value!).toBeCloseTo(value! - low!, 9)
    const standardError = (high! - value!) / student95(24)
    expect(2 * standardError * Math.sqrt(1 - 25 / 415) * 1e5).toBeCloseTo(1617, 0)
  })

  it('is the mean with Student interval when all clips are of one length', () => {
    // Mean 0.3, standard deviation 0.1, three clips: 4.303 (NIST/SEMATECH e-Handbook 1.3.6.7.2) · 0.1 / √3 = 0.2484
    const { value, low, high } = pooledRatio([clip(0.2, 300), clip(0.3, 300), clip(0.4, 300)])
    expect(value).toBeCloseTo(0.3, 9)
    expect(low).toBeCloseTo(0.3 - 0.2484, 4)
    expect(high).toBeCloseTo(0.3 + 0.2484, 4)
  })

  it('is no surer than the surest of clips that agree, however many they are', () => {
    const own = { value: 0.4, low: 0.24, high: 0.56, turns: 500 }
    const { low, high } = pooledRatio([own, own, { ...own, low: 0.1, high: 0.7 }])
    expect(low).toBeCloseTo(0.24, 9)
    expect(high).toBeCloseTo(0.56, 9)
    const apart = [0.2, 0.3, 0.4].map((value) => ({ value, low: value - 0.1, high: value + 0.1, turns: 300 }))
    // In quadrature with Student's half width, as above.
    expect(pooledRatio(apart).low).toBeCloseTo(0.3 - Math.hypot(0.2484, 0.1), 4)
  })

  it('has no interval for one clip, and nothing for none', () => {
    expect(pooledRatio([clip(0.3, 200), clip(null, 0)])).toEqual({
      value: 0.3,
      low: null,
      high: null,
      turns: 200,
      clips: 1,
    })
    expect(pooledRatio([clip(null, 40)])).toEqual({ value: null, low: null, high: null, turns: 0, clips: 0 })
  })

  it('stays within 0 to 1', () => {
    const { low, high } = pooledRatio([clip(0, 100), clip(0.02, 100)])
    expect(low).toBe(0)
    expect(pooledRatio([clip(1, 100), clip(0.98, 100)]).high).toBe(1)
    expect(high).toBeLessThan(0.3)
  })

  it('holds the share of a season about 95 times in 100, where turns as units would not', () => {
    // Rides whose own share is spread evenly over 0.1 to 0.5, of 200 to 800 turns: over all turns 0.3.
    const random = seededRandom(7)
    const trials = 2000
    let held = 0
    let heldByTurns = 0
    for (let trial = 0; trial < trials; trial++) {
      const rides = Array.from({ length: 8 }, () =>
        clip(0.1 + 0.4 * random(), 200 + Math.round(600 * random())),
      )
      const { value, low, high, turns } = pooledRatio(rides)
      if (low! <= 0.3 && high! >= 0.3) held++
      if (Math.abs(value! - 0.3) <= 1.96 * Math.sqrt((0.3 * 0.7) / turns)) heldByTurns++
    }
    expect(held / trials).toBeGreaterThan(0.92)
    expect(held / trials).toBeLessThan(0.97)
    expect(heldByTurns / trials).toBeLessThan(0.5)
  })
})
