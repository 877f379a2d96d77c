import { describe, expect, it } from 'vitest'
import { every, makeRun, type RunWish } from '../../test/makeRun.js'
import { MOST_LOGIT } from './constants.js'
import { FIRED, labelRevolutions, PATTERNS, type Revolutions, SKIPPED } from './index.js'
import { twoKindsLogit } from './twoKinds.js'
import type { WindowEvidence } from './windows.js'

const label = (...wishes: RunWish[]): Revolutions => labelRevolutions(wishes.map(makeRun))
const patternsOf = (r: Revolutions) => Array.from(r.pattern, (p) => PATTERNS[p])
const shareOf = <T>(all: readonly T[], one: T) => all.filter((x) => x === one).length / all.length

describe('labelRevolutions', () => {
  it.each([
    [2, 'every-other'],
    [3, 'every-third'],
    [4, 'every-fourth'],
  ] as const)('labels every turn where one in %i fires, louder than the rest', (period, pattern) => {
    const kinds = every(period, 96)
    const found = label({ kinds, gain: 1.6 })
    expect(Array.from(found.label)).toEqual(kinds.map((k) => (k ? FIRED : SKIPPED)))
    expect(shareOf(patternsOf(found), pattern)).toBeGreaterThan(0.9)
  })
  it('takes the louder kind for the fired one, whichever is more frequent', () => {
    const kinds = every(3, 96, 0)
    expect(Array.from(label({ kinds, gain: 1.6 }).label)).toEqual(kinds.map((k) => (k ? FIRED : SKIPPED)))
    expect(Array.from(label({ kinds, gain: 1 / 1.6 }).label)).toEqual(kinds.map((k) => (k ? SKIPPED : FIRED)))
  })
  it('calls even running fired all through', () => {
    const found = label({ kinds: new Array(96).fill(1), noise: 0.2 })
    expect(shareOf(Array.from(found.label), FIRED)).toBe(1)
    expect(shareOf(patternsOf(found), 'every-turn')).toBeGreaterThan(0.95)
  })
  it('labels both halves of a run that goes from even to alternating', () => {
    const kinds = [...new Array<number>(60).fill(1), ...every(2, 60)]
    const found = Array.from(label({ kinds, gain: 1.6 }).label)
    const right = found.filter((l, n) => l === (kinds[n] ? FIRED : SKIPPED)).length
    expect(right / kinds.length).toBeGreaterThan(0.9)
  })
  it('keeps labels under a gain of the whole clip', () => {
    const run = makeRun({ kinds: every(3, 72), gain: 1.4, noise: 0.3 })
    const twice = {
      ...run,
      cuts: run.cuts.map((c) => ({ ...c, values: c.values.map((v) => 2 * v) })),
      level: run.level.map((v) => 2 * v),
    }
    const one = labelRevolutions([run])
    const two = labelRevolutions([twice])
    expect(two.label).toEqual(one.label)
    expect(two.pattern).toEqual(one.pattern)
    one.level.forEach((v, n) => {
      expect(two.level[n]!).toBeCloseTo(2 * v, 5)
    })
  })
  it('leaves open which kind fired where both are as loud, and bounds both readings', () => {
    const found = label({ kinds: every(3, 72), speedHz: 120, noise: 0.02 })
    for (let n = 20; n < 52; n++) {
      expect(found.firedLow[n]!).toBeLessThan(0.1)
      expect(found.firedHigh[n]!).toBeGreaterThan(0.9)
    }
  })
  it('gives times, speeds and stretches of several runs in a row, and chances in order', () => {
    const found = label({ kinds: every(2, 30), speedHz: 50 }, { kinds: every(3, 40), speedHz: 150 })
    expect(found.timeS).toHaveLength(70)
    expect([found.stretch[0], found.stretch[29], found.stretch[30], found.stretch[69]]).toEqual([0, 0, 1, 1])
    expect(found.timeS[10]).toBeCloseTo(10 / 50, 12)
    expect(found.speedRpm[10]).toBeCloseTo(3000, 6)
    expect(found.speedRpm[50]).toBeCloseTo(9000, 6)
    expect(found.durationS[50]).toBeCloseTo(1 / 150, 12)
    found.firedProbability.forEach((p, n) => {
      expect(found.firedLow[n]! <= p + 1e-6 && p <= found.firedHigh[n]! + 1e-6).toBe(true)
      expect(found.firedLow[n]! >= 0 && found.firedHigh[n]! <= 1).toBe(true)
      expect(found.reliability[n]! >= 0 && found.reliability[n]! <= 1 + 1e-6).toBe(true)
    })
  })
  it('gives empty columns for no runs', () => {
    for (const column of Object.values(labelRevolutions([]))) expect(column).toHaveLength(0)
  })
  it('is finite for silence, and for runs too short to show a pattern', () => {
    for (const run of [
      makeRun({ kinds: every(2, 8) }),
      makeRun({ kinds: [1] }),
      makeRun({ kinds: every(2, 40) }),
    ]) {
      const silent = {
        ...run,
        cuts: run.cuts.map((c) => ({ ...c, values: new Float32Array(c.values.length) })),
      }
      for (const found of [labelRevolutions([run]), labelRevolutions([silent])])
        for (const column of Object.values(found))
          for (const v of column) expect(Number.isFinite(v)).toBe(true)
    }
    const few = label({ kinds: [0, 1, 0, 1] })
    expect(few.label).toHaveLength(4)
  })
})

describe('twoKindsLogit', () => {
  const window = (depthDb: number, share: number, fold: number): WindowEvidence => ({
    firstTurn: 0,
    turns: 24,
    component: new Float64Array(24),
    share,
    folds: [fold, 0, 0],
    lag1: -fold,
    depthDb: new Float64Array(8).fill(depthDb),
    agreement: fold,
  })
  it('speaks for two kinds where the difference is deep and regular, against where it is shallow and random', () => {
    expect(twoKindsLogit(window(-3, 0.9, 0.9))).toBeGreaterThan(3)
    expect(twoKindsLogit(window(-30, 0.15, 0))).toBeLessThan(-3)
  })
  it('grows with depth, and never passes the cap', () => {
    const at = [-60, -25, -20, -15, 0].map((depth) => twoKindsLogit(window(depth, 0.4, 0.2)))
    for (let i = 1; i < at.length; i++) expect(at[i]!).toBeGreaterThanOrEqual(at[i - 1]!)
    expect(at[3]!).toBeGreaterThan(at[1]!)
    expect(twoKindsLogit(window(100, 1, 1))).toBe(MOST_LOGIT)
    expect(twoKindsLogit(window(-100, 0, 0))).toBe(-MOST_LOGIT)
  })
})
