import { describe, expect, it } from 'vitest'
import { seededRandom } from '../math/random.js'
import { designEffect } from './dependence.js'

/** Skips in a Markov chain: share 0.3, mean length of a run of skips as given. */
function chain(turns: number, run: number, seed: number): number[] {
  const next = seededRandom(seed)
  let skipped = next() < 0.3
  return Array.from({ length: turns }, () => {
    skipped = skipped ? next() > 1 / run : next() < 0.3 / 0.7 / run
    return skipped ? 1 : 0
  })
}

describe('designEffect', () => {
  it('is about 1 for independent turns', () => {
    const next = seededRandom(3)
    const series = Array.from({ length: 6000 }, () => (next() < 0.3 ? 1 : 0))
    const effect = designEffect([series], 0.21)
    expect(effect).toBeGreaterThan(0.75)
    expect(effect).toBeLessThan(1.6)
  })
  it('meets the exact long-run variance of a Markov chain', () => {
    // Autocorrelation (1 − 1/run − 0.3/0.7/run)^k: effect (1 + λ)/(1 − λ), with run 5: λ = 5/7, effect 6.
    const effects = [1, 2, 3, 4, 5].map((seed) => designEffect([chain(6000, 5, seed)], 0.21))
    const centre = effects.sort((a, b) => a - b)[2]!
    expect(centre).toBeGreaterThan(4.5)
    expect(centre).toBeLessThan(8)
  })
  it.each([2, 3, 4])('is small where every turn number %i repeats strictly', (period) => {
    const series = Array.from({ length: 600 }, (_, i) => (i % period === 0 ? 1 : 0))
    expect(designEffect([series], (1 / period) * (1 - 1 / period))).toBeLessThan(0.06)
  })
  it('sees states longer than its shortest batch', () => {
    const series = Array.from({ length: 960 }, (_, i) => (Math.floor(i / 60) % 2 === 0 ? 1 : 0))
    expect(designEffect([series], 0.25)).toBeGreaterThan(20)
  })
  it('claims nothing without a single skip, nor from a handful of turns', () => {
    expect(designEffect([new Array(600).fill(0)], 0.002)).toBeGreaterThanOrEqual(1)
    expect(designEffect([[0, 1, 0, 1]], 0.25)).toBe(1)
  })
})
