import { describe, expect, it } from 'vitest'
import { every, makeRun, type RunWish } from '../../test/makeRun.js'
import { MOST_KIND_LOGIT } from './constants.js'
import { highKindFired } from './firedKind.js'
import type { Stitched } from './stitch.js'
import { WINDOW_HOP, WINDOW_TURNS, type WindowEvidence } from './windows.js'

interface Case extends RunWish {
  /** Correlation of neighbouring windows. */
  readonly coupling?: number
  readonly twoKinds?: number | ((turn: number) => number)
}

function chanceOf({ coupling = 1, twoKinds = 1, ...wish }: Case): Float64Array {
  const { kinds } = wish
  const count = Math.max(0, Math.floor((kinds.length - WINDOW_TURNS) / WINDOW_HOP) + 1)
  const windows = Array.from(
    { length: count },
    (_, w): WindowEvidence => ({
      firstTurn: w * WINDOW_HOP,
      turns: WINDOW_TURNS,
      component: new Float64Array(WINDOW_TURNS),
      share: 1,
      folds: [0, 0, 0],
      lag1: 0,
      depthDb: new Float64Array(8),
      agreement: 1,
    }),
  )
  const stitched: Stitched = {
    signs: new Int8Array(count).fill(1),
    coupling: new Float64Array(count).fill(coupling).fill(0, 0, 1),
    component: new Float64Array(kinds.length),
    logit: new Float64Array(kinds.length),
    agreement: new Float64Array(kinds.length),
  }
  const two = Float64Array.from(kinds, (_, n) => (typeof twoKinds === 'number' ? twoKinds : twoKinds(n)))
  return highKindFired(makeRun(wish), windows, stitched, Float64Array.from(kinds), two)
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
    const args = [
      [],
      { coupling: new Float64Array(0) } as Stitched,
      Float64Array.from(wish.kinds),
      new Float64Array(48),
    ] as const
    expect([...highKindFired(run, ...args)]).toEqual(new Array(48).fill(0.5))
  })
  it('lets the rarer kind be the firing one at idle only, and loudness overrule it', () => {
    const rare = { ...alternating, kinds: every(4, 60) }
    const common = { ...alternating, kinds: every(4, 60, 0) }
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
  it('never lets one window say more than the cap', () => {
    const [p] = chanceOf({ ...alternating, kinds: every(2, WINDOW_TURNS), gain: 1000 })
    expect(logit(p!)).toBeGreaterThan(0)
    expect(logit(p!)).toBeLessThan(MOST_KIND_LOGIT)
  })
  it('carries votes as far as the windows are coupled', () => {
    // Only the first 24 turns are surely of two kinds, so only windows there vote.
    const early = { ...alternating, kinds: every(2, 120), gain: 2, twoKinds: (n: number) => (n < 24 ? 1 : 0) }
    const last = (coupling: number) => chanceOf({ ...early, coupling })[119]!
    expect(last(0)).toBeCloseTo(0.5, 6)
    expect(last(1)).toBeGreaterThan(0.6)
    expect(last(0.9)).toBeLessThan(last(1))
    expect(last(0.9)).toBeGreaterThan(0.5)
  })
  it('gives chances for silence, and nothing for no turns', () => {
    const silent = chanceOf({ ...alternating, gain: 0 })
    for (const p of silent) expect(p >= 0 && p < 0.1).toBe(true)
    expect(chanceOf({ ...alternating, kinds: [] })).toHaveLength(0)
    expect([...chanceOf({ ...alternating, kinds: [1, 0, 1] })]).toEqual([0.5, 0.5, 0.5])
  })
})
