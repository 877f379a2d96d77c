import { describe, expect, it } from 'vitest'
import { alignSigns, stitch as join } from './stitch.js'
import { WINDOW_HOP, WINDOW_TURNS, type WindowEvidence } from './windows.js'

/** A window that saw `whole` from `firstTurn` on, scaled to unit length and turned by `sign`. */
function windowOn(whole: readonly number[], firstTurn: number, sign = 1, agreement = 0): WindowEvidence {
  const part = whole.slice(firstTurn, firstTurn + WINDOW_TURNS)
  const length = Math.hypot(...part) || 1
  return {
    firstTurn,
    turns: part.length,
    component: Float64Array.from(part, (v) => (sign * v) / length),
    share: 1,
    folds: [0, 0, 0],
    lag1: 0,
    depthDb: new Float64Array(8),
    agreement,
  }
}
const TURNS = 48
const stitch = (windows: readonly WindowEvidence[], logits: readonly number[], turns: number) =>
  join(windows, alignSigns(windows), logits, turns)
const firsts = Array.from({ length: (TURNS - WINDOW_TURNS) / WINDOW_HOP + 1 }, (_, w) => w * WINDOW_HOP)
const zeros = firsts.map(() => 0)
const alternation = Array.from({ length: TURNS }, (_, i) => (i % 2 ? 1 : -1))

describe('stitch', () => {
  it('brings windows of any sign together into the one series they saw', () => {
    const flips = [1, -1, -1, 1, -1, 1, 1]
    const windows = firsts.map((f, w) => windowOn(alternation, f, flips[w]))
    expect([...alignSigns(windows)]).toEqual(flips)
    stitch(windows, zeros, TURNS).component.forEach((v, n) => {
      expect(v).toBeCloseTo(alternation[n]!, 9)
    })
  })
  it('follows the first window: all signs turned give the series turned', () => {
    const { component } = stitch(
      firsts.map((f) => windowOn(alternation, f, -1)),
      zeros,
      TURNS,
    )
    component.forEach((v, n) => {
      expect(v).toBeCloseTo(-alternation[n]!, 9)
    })
  })
  it('gives neighbours the sign in which most of the turns they share agree', () => {
    // Over the 20 shared turns 15 agree and 5 do not.
    const other = alternation.map((v, i) => (i >= 4 && i < 9 ? -v : v))
    expect([...alignSigns([windowOn(alternation, 0), windowOn(other, 4)])]).toEqual([1, 1])
    expect([...alignSigns([windowOn(alternation, 0), windowOn(other, 4, -1)])]).toEqual([1, -1])
  })
  it('stays finite over a silent window', () => {
    const windows = [
      windowOn(alternation, 0),
      windowOn(new Array(TURNS).fill(0), 4),
      windowOn(alternation, 8, -1),
    ]
    for (const v of stitch(windows, [0, 0, 0], 32).component) expect(Number.isFinite(v)).toBe(true)
  })
  it('spreads log-odds and agreement as weighted means: equal ones stay, others lie between', () => {
    const even = stitch(
      firsts.map((f) => windowOn(alternation, f, 1, 0.7)),
      firsts.map(() => -2.5),
      TURNS,
    )
    for (let n = 0; n < TURNS; n++) {
      expect(even.logit[n]).toBeCloseTo(-2.5, 9)
      expect(even.agreement[n]).toBeCloseTo(0.7, 9)
    }
    const rising = stitch([windowOn(alternation, 0), windowOn(alternation, 4)], [-1, 3], 28).logit
    expect([...rising.subarray(0, 4)]).toEqual([-1, -1, -1, -1])
    expect([...rising.subarray(24)]).toEqual([3, 3, 3, 3])
    for (let n = 5; n < 24; n++) expect(rising[n]!).toBeGreaterThan(rising[n - 1]!)
  })
  it('knows nothing of turns that no window saw', () => {
    const none = stitch([], [], 5)
    expect([...none.component, ...none.logit, ...none.agreement]).toEqual(new Array(15).fill(0))
    const part = stitch([windowOn(alternation, 0)], [2], 30)
    expect([...part.logit.subarray(24)]).toEqual([0, 0, 0, 0, 0, 0])
    expect(stitch([], [], 0).component).toHaveLength(0)
  })
})
