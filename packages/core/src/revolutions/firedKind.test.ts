import { describe, expect, it } from 'vitest'
import { every, makeRun, type RunWish } from '../../test/makeRun.js'
import { FIRED_KIND, FIRED_KIND_SCORE } from './constants.js'
import { highKindFired } from './firedKind.js'
import { WINDOW_HOP, WINDOW_TURNS, type WindowEvidence } from './windows.js'

interface Case extends RunWish {
  readonly twoKinds?: number | ((turn: number) => number)
}

function windowsOf(kinds: readonly number[]): WindowEvidence[] {
  const count = Math.max(0, Math.floor((kinds.length - WINDOW_TURNS) / WINDOW_HOP) + 1)
  return Array.from({ length: count }, (_, w): WindowEvidence => {
    const firstTurn = w * WINDOW_HOP
    const seen = kinds.slice(firstTurn, firstTurn + WINDOW_TURNS)
    return {
      firstTurn,
      turns: WINDOW_TURNS,
      component: Float64Array.from(seen, (k) => (k - 0.5) / Math.sqrt(WINDOW_TURNS / 4)),
      share: 1,
      folds: [0, 0, 0],
      lag1: 0,
      depthDb: new Float64Array(8),
      agreement: 1,
    }
  })
}

function chanceOf({ twoKinds = 1, ...wish }: Case): Float64Array {
  const { kinds } = wish
  const run = makeRun(wish)
  const windows = windowsOf(kinds)
  const two = Float64Array.from(kinds, (_, n) => (typeof twoKinds === 'number' ? twoKinds : twoKinds(n)))
  return highKindFired(run, windows, Float64Array.from(kinds), two)
}
const logit = (p: number) => Math.log(p / (1 - p))
/** Alternating kinds whose pictures differ by nothing but the gain; fast, so that idling has no say. */
const alternating = { kinds: every(2, 60), difference: 0, noise: 0, speedHz: 120 }

describe('highKindFired', () => {
  it('takes the louder kind for the one that fired', () => {
    for (const p of chanceOf({ ...alternating, gain: 2 })) expect(p).toBeGreaterThan(0.9)
    for (const p of chanceOf({ ...alternating, gain: 0.5 })) expect(p).toBeLessThan(0.1)
  })
  it('weighs a gain against its inverse: chances add up to 1', () => {
    const louder = chanceOf({ ...alternating, gain: 1.1 })
    const softer = chanceOf({ ...alternating, gain: 1 / 1.1 })
    expect(louder[30]!).toBeGreaterThan(0.5)
    louder.forEach((p, n) => {
      expect(p + softer[n]!).toBeCloseTo(1, 3)
    })
  })
  it('cannot tell kinds that are equally loud and equally many', () => {
    for (const p of chanceOf(alternating)) expect(p).toBeCloseTo(0.5, 6)
  })
  it('stays even without windows', () => {
    const wish = { ...alternating, kinds: every(3, 48), gain: 1.2 }
    const run = makeRun(wish)
    const args = [[], Float64Array.from(wish.kinds), new Float64Array(48)] as const
    expect([...highKindFired(run, ...args)]).toEqual(new Array(48).fill(0.5))
  })
  it('lets the rarer kind be the firing one at idle only, and loudness overrule it', () => {
    const rare = { ...alternating, difference: 0.1, kinds: every(4, 60) }
    const common = { ...rare, kinds: every(4, 60, 0) }
    expect(chanceOf({ ...rare, speedHz: 45 })[30]!).toBeGreaterThan(0.7)
    expect(chanceOf({ ...common, speedHz: 45 })[30]!).toBeLessThan(0.3)
    expect(chanceOf({ ...rare, speedHz: 80 })[30]!).toBeCloseTo(0.5, 6)
    expect(chanceOf({ ...rare, speedHz: 45, gain: 0.5 })[30]!).toBeLessThan(0.5)
  })
  it('says nothing where there is one kind of turn alone', () => {
    for (const p of chanceOf({ ...alternating, gain: 2, twoKinds: 0 })) expect(p).toBeCloseTo(0.5, 6)
    for (const p of chanceOf({ ...alternating, kinds: new Array(60).fill(1), gain: 2 }))
      expect(p).toBeCloseTo(0.5, 6)
  })
  it('never says more than all bands at their caps would', () => {
    const [p] = chanceOf({ ...alternating, kinds: every(2, WINDOW_TURNS), gain: 1000 })
    const most = FIRED_KIND_SCORE.reduce(
      (sum, s) => sum + s.logitPerSd * FIRED_KIND.mostSds + s.logitIfSure,
      0,
    )
    expect(logit(p!)).toBeGreaterThan(0)
    expect(logit(p!)).toBeLessThan(most)
  })
  it('says less of a few turns than of many', () => {
    const wish = { ...alternating, gain: 1.1, difference: 0.5 }
    const few = chanceOf({ ...wish, kinds: every(2, WINDOW_TURNS) })[10]!
    const many = chanceOf({ ...wish, kinds: every(2, 240) })[100]!
    expect(few).toBeGreaterThan(0.5)
    expect(many).toBeGreaterThan(few)
  })
  it('carries what it heard along the run to windows that see the same two kinds, the right way up', () => {
    // Of two kinds for sure in the first 24 turns alone; later windows have too little of their own.
    const wish = { ...alternating, gain: 2, difference: 0.5 }
    const kinds = every(2, 144)
    const run = makeRun({ ...wish, kinds })
    const windows = windowsOf(kinds)
    const two = Float64Array.from(kinds, (_, n) => (n < 24 ? 1 : 0.15))
    const chances = (flipFrom: number) => {
      const flipped = Float64Array.from(kinds, (k, n) => (n < flipFrom ? k : 1 - k))
      return highKindFired(run, windows, flipped, two)
    }
    expect(chances(144)[140]!).toBeGreaterThan(0.8)
    expect(chances(72)[140]!).toBeLessThan(0.2)
    expect(chances(72)[10]!).toBeGreaterThan(0.8)
  })
  it('gives chances for silence, and nothing for no turns', () => {
    const silent = chanceOf({ ...alternating, gain: 0 })
    for (const p of silent) expect(p >= 0 && p < 0.1).toBe(true)
    expect(chanceOf({ ...alternating, kinds: [] })).toHaveLength(0)
    expect([...chanceOf({ ...alternating, kinds: [1, 0, 1] })]).toEqual([0.5, 0.5, 0.5])
  })
})
