import { describe, expect, it } from 'vitest'
import { stitch } from './stitch.js'
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
const firsts = Array.from({ length: (TURNS - WINDOW_TURNS) / WINDOW_HOP + 1 }, (_, w) => w * WINDOW_HOP)
const zeros = firsts.map(() => 0)
const alternation = Array.from({ length: TURNS }, (_, i) => (i % 2 ? 1 : -1))

describe('stitch', () => {
  it('brings windows of any sign together into the one series they saw', () => {
    const flips = [1, -1, -1, 1, -1, 1, 1]
    const { component, signs, coupling } = stitch(
      firsts.map((f, w) => windowOn(alternation, f, flips[w])),
      zeros,
      TURNS,
    )
    expect([...signs]).toEqual(flips)
    expect(coupling[0]).toBe(0)
    for (const c of coupling.subarray(1)) expect(c).toBeCloseTo(1, 9)
    component.forEach((v, n) => {
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
  it('couples neighbours by the correlation over what both saw', () => {
    // Over the 20 shared turns 15 agree and 5 do not: correlation (15 - 5) / 20.
    const other = alternation.map((v, i) => (i >= 4 && i < 9 ? -v : v))
    const { coupling, signs } = stitch([windowOn(alternation, 0), windowOn(other, 4)], [0, 0], 28)
    expect(coupling[1]).toBeCloseTo(0.5, 9)
    expect(signs[1]).toBe(1)
  })
  it('does not couple over a silent window', () => {
    const { coupling, component } = stitch(
      [windowOn(alternation, 0), windowOn(new Array(TURNS).fill(0), 4), windowOn(alternation, 8, -1)],
      [0, 0, 0],
      32,
    )
    expect([...coupling]).toEqual([0, 0, 0])
    for (const v of component) expect(Number.isFinite(v)).toBe(true)
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
