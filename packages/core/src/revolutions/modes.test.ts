import { describe, expect, it } from 'vitest'
import { seededRandom } from '../math/random.js'
import { twoLevels } from './levels.js'
import { modeChances } from './modes.js'
import { PATTERNS, type Pattern } from './types.js'

/** Chances for values that take −1 and 1 as `kinds` say, with some noise. */
function chancesOf(kinds: readonly number[], logit: number, validity = 0, noise = 0.3) {
  const random = seededRandom(3)
  const values = Float64Array.from(kinds, (k) => (k ? 1 : -1) + noise * 2 * (random() - 0.5))
  const all = (v: number) => new Float64Array(kinds.length).fill(v)
  return modeChances(values, all(logit), twoLevels(values, 20), all(validity))
}
const cycle = (n: number, kinds: readonly number[]) =>
  Array.from({ length: n }, (_, i) => kinds[i % kinds.length]!)
const chanceOf = (patterns: Float64Array, n: number, pattern: Pattern) =>
  patterns[5 * n + PATTERNS.indexOf(pattern)]!

describe('modeChances', () => {
  it.each([
    ['every-other', [0, 1]],
    ['every-third', [1, 0, 0]],
    ['every-third', [0, 1, 1]],
    ['every-fourth', [1, 0, 0, 0]],
    ['every-fourth', [0, 1, 1, 1]],
  ] as const)('recognises %s from %j and tells every turn its kind', (pattern, kinds) => {
    const all = cycle(60, kinds)
    const { highKind, twoKinds, patterns } = chancesOf(all, 4)
    expect(chanceOf(patterns, 30, pattern)).toBeGreaterThan(0.8)
    all.forEach((kind, n) => {
      expect(Math.abs(highKind[n]! - kind)).toBeLessThan(0.1)
      expect(twoKinds[n]!).toBeGreaterThan(0.9)
    })
  })
  it('calls turns of both kinds without order irregular', () => {
    const random = seededRandom(8)
    const kinds: number[] = Array.from({ length: 80 }, () => (random() < 0.5 ? 0 : 1))
    const { highKind, patterns } = chancesOf(kinds, 4)
    const mean = kinds.reduce((sum, _kind, n) => sum + chanceOf(patterns, n, 'irregular') / kinds.length, 0)
    expect(mean).toBeGreaterThan(0.7)
    kinds.forEach((kind, n) => {
      expect(Math.abs(highKind[n]! - kind)).toBeLessThan(0.15)
    })
  })
  it('stays with even running where the evidence speaks against two kinds', () => {
    const { twoKinds, patterns } = chancesOf(cycle(60, [1]), -4, 0, 1)
    for (let n = 0; n < 60; n++) {
      expect(twoKinds[n]!).toBeLessThan(0.05)
      expect(chanceOf(patterns, n, 'every-turn')).toBeGreaterThan(0.95)
    }
  })
  it('believes in two kinds the more, the more speaks for them', () => {
    const at = [-4, -2, 0, 2, 4].map((logit) => chancesOf(cycle(60, [0, 1]), logit).twoKinds[30]!)
    for (let i = 1; i < at.length; i++) expect(at[i]!).toBeGreaterThanOrEqual(at[i - 1]!)
    expect(at.at(-1)! - at[0]!).toBeGreaterThan(0.05)
  })
  it('follows a change of pattern within a few turns', () => {
    const { patterns } = chancesOf([...cycle(40, [0, 1]), ...cycle(42, [1, 0, 0])], 4)
    expect(chanceOf(patterns, 20, 'every-other')).toBeGreaterThan(0.8)
    expect(chanceOf(patterns, 34, 'every-other')).toBeGreaterThan(0.8)
    expect(chanceOf(patterns, 48, 'every-third')).toBeGreaterThan(0.8)
    expect(chanceOf(patterns, 60, 'every-third')).toBeGreaterThan(0.8)
  })
  it('finds a lone turn of the other kind where pictures of both are at hand', () => {
    const all = (v: number) => new Float64Array(60).fill(v)
    const values = all(1)
    values[30] = -1
    const levels = { low: all(-1), high: all(1), spread: all(0.3) }
    const { highKind, twoKinds } = modeChances(values, all(1), levels, all(1))
    const lowHere = twoKinds[30]! * (1 - highKind[30]!)
    const lowThere = twoKinds[20]! * (1 - highKind[20]!)
    expect(lowHere).toBeGreaterThan(0.8)
    expect(lowThere).toBeLessThan(0.05)
  })
  it('holds even running against its neighbours where pictures are at hand', () => {
    const all = (v: number) => new Float64Array(60).fill(v)
    const levels = { low: all(-1), high: all(1), spread: all(0.3) }
    const twoKindsOf = (values: Float64Array) => modeChances(values, all(-1), levels, all(1)).twoKinds[30]!
    // A steady firing may lie between the two kinds, or at one of them; an alternation has no like neighbours.
    for (const level of [0.1, 1, -1]) expect(twoKindsOf(all(level))).toBeLessThan(0.1)
    expect(twoKindsOf(all(1).map((v, n) => (n % 2 ? v : -v)))).toBeGreaterThan(0.95)
  })
  it('swaps the kinds and nothing else when the values change sign', () => {
    const random = seededRandom(6)
    const values = Float64Array.from({ length: 50 }, (_, i) => (i % 3 ? -1 : 1) + 0.4 * (random() - 0.5))
    const logit = new Float64Array(50).fill(2)
    const none = new Float64Array(50)
    const a = modeChances(values, logit, twoLevels(values, 20), none)
    const minus = values.map((v) => -v)
    const b = modeChances(minus, logit, twoLevels(minus, 20), none)
    for (let n = 0; n < 50; n++) {
      expect(b.highKind[n]!).toBeCloseTo(1 - a.highKind[n]!, 6)
      expect(b.twoKinds[n]!).toBeCloseTo(a.twoKinds[n]!, 6)
    }
  })
  it('gives chances: patterns add up to 1, all but the first to two kinds', () => {
    const { highKind, twoKinds, patterns } = chancesOf(cycle(40, [0, 1, 1, 0, 1]), 0, 0.5, 1.5)
    for (let n = 0; n < 40; n++) {
      const row = [...patterns.subarray(5 * n, 5 * n + 5)]
      expect(row.reduce((a, b) => a + b)).toBeCloseTo(1, 9)
      expect(1 - row[0]!).toBeCloseTo(twoKinds[n]!, 9)
      for (const p of [...row, highKind[n]!]) expect(p >= 0 && p <= 1).toBe(true)
    }
  })
  it('keeps to its prior for one turn without evidence, and takes none and silence', () => {
    // 0.4 of the prior is even running.
    expect(chancesOf([1], 0).patterns[0]).toBeCloseTo(0.4, 9)
    expect(chancesOf([], 0).twoKinds).toHaveLength(0)
    const silent = modeChances(
      new Float64Array(30),
      new Float64Array(30).fill(-5),
      twoLevels(new Float64Array(30), 20),
      new Float64Array(30),
    )
    for (const p of silent.twoKinds) expect(p).toBeLessThan(0.1)
  })
})
