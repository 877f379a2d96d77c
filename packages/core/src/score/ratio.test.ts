import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { makeTurns, repeatTurn, type Turn, whole } from '../../test/relations/makeTurns.js'
import { PARTIAL, PATTERNS, UNSURE } from '../revolutions/types.js'
import { misfireRatio } from './ratio.js'

function ratioOf(turns: readonly Turn[]) {
  const revolutions = makeTurns(turns)
  return misfireRatio(revolutions, whole(revolutions))
}
const alternate = (i: number): Turn => ({ fired: i % 2, pattern: 'every-other' })
const unknown: Turn = { fired: 0.5, low: 0, high: 1, pattern: 'cannot-tell', label: UNSURE }

describe('misfireRatio', () => {
  it('says nothing of nothing', () => {
    expect(misfireRatio(makeTurns([]), [])).toEqual({ value: null, low: null, high: null, turns: 0 })
  })
  it('knows little from one turn', () => {
    const one = ratioOf([{ fired: 1 }])
    expect(one).toMatchObject({ value: 0, low: 0, turns: 1 })
    // Wilson, 0 of 1: z² / (1 + z²) = 0.793.
    expect(one.high).toBeCloseTo(0.793, 3)
  })
  it('gives no ratio when every turn is unsure', () => {
    expect(ratioOf(repeatTurn(200, unknown))).toEqual({ value: null, low: null, high: null, turns: 0 })
  })
  it('reads a strict alternation as one half, narrowly', () => {
    const ratio = ratioOf(repeatTurn(300, alternate))
    expect(ratio.value).toBe(0.5)
    expect(ratio.high! - ratio.low!).toBeLessThan(0.05)
  })
  it('is wider where as many skips come in long runs', () => {
    const inRuns = ratioOf(repeatTurn(300, (i) => ({ fired: Math.floor(i / 25) % 2, pattern: 'irregular' })))
    const strict = ratioOf(repeatTurn(300, alternate))
    expect(inRuns.value).toBe(0.5)
    expect(inRuns.high! - inRuns.low!).toBeGreaterThan(5 * (strict.high! - strict.low!))
  })
  it('counts a partial burn by its share', () => {
    const ratio = ratioOf(repeatTurn(100, (i) => (i % 2 ? { fired: 1 } : { fired: 0.4, label: PARTIAL })))
    expect(ratio.value).toBeCloseTo(0.3, 6)
  })
  it('covers both readings where two kinds of turn are sure but not which fired', () => {
    const third = (p: number) => (i: number) => ({
      fired: i % 3 === 0 ? p : 1 - p,
      low: 0.03,
      high: 0.97,
      pattern: 'every-third' as const,
    })
    for (const p of [0.9, 0.5, 0.2]) {
      const ratio = ratioOf(repeatTurn(240, third(p)))
      expect(ratio.low).toBeLessThan(1 / 3 + 0.03)
      expect(ratio.high).toBeGreaterThan(2 / 3 - 0.03)
      expect(ratio.high! - ratio.low!).toBeLessThan(0.65)
    }
  })
  it('stays narrow for an alternation, which reads the same either way', () => {
    const ratio = ratioOf(repeatTurn(240, (i) => ({ ...alternate(i), low: 0.02, high: 0.98 })))
    expect(ratio.value).toBe(0.5)
    expect(ratio.high! - ratio.low!).toBeLessThan(0.1)
  })
  it('keeps unknown turns out of the value but in the interval', () => {
    const sure = ratioOf(repeatTurn(200, { fired: 1 }))
    const half = ratioOf(repeatTurn(300, (i) => (i % 3 === 0 ? unknown : { fired: 1 })))
    expect(half.value).toBe(0)
    expect(half.turns).toBe(200)
    expect(half.high! - sure.high!).toBeGreaterThan(0.1)
  })
  it('trusts less where disjoint bands disagree', () => {
    const width = (reliability: number) => {
      const ratio = ratioOf(repeatTurn(300, (i) => ({ ...alternate(i), reliability })))
      return ratio.high! - ratio.low!
    }
    expect(width(0.9)).toBe(width(0.5))
    expect(width(0.25)).toBeGreaterThan(width(0.5) + 0.1)
    expect(width(0)).toBeGreaterThan(width(0.25) + 0.1)
  })
  it('reaches down to a clean engine where the skips are no more than the errors admitted', () => {
    const ratio = ratioOf(
      repeatTurn(400, (i) => ({ fired: i % 20 === 0 ? 0.05 : 0.95, pattern: 'every-turn' })),
    )
    expect(ratio.value).toBeGreaterThan(0.08)
    expect(ratio.low).toBe(0)
  })
  it('counts only the turns of its ranges', () => {
    const revolutions = makeTurns([...repeatTurn(50, { fired: 1 }), ...repeatTurn(50, { fired: 0 })])
    expect(misfireRatio(revolutions, [{ firstTurn: 0, endTurn: 50 }]).value).toBe(0)
    expect(misfireRatio(revolutions, [{ firstTurn: 50, endTurn: 100 }]).value).toBe(1)
    const both = [
      { firstTurn: 0, endTurn: 20 },
      { firstTurn: 80, endTurn: 100 },
    ]
    expect(misfireRatio(revolutions, both)).toMatchObject({ value: 0.5, turns: 40 })
  })
  it('always holds its value, within 0 and 1', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true })
    const turn = fc.record({
      fired: share,
      low: share,
      high: share,
      label: fc.integer({ min: 0, max: 3 }),
      pattern: fc.constantFrom(...PATTERNS),
      reliability: share,
    })
    fc.assert(
      fc.property(fc.array(turn, { minLength: 1, maxLength: 120 }), (turns) => {
        const { value, low, high, turns: count } = ratioOf(turns)
        expect(count).toBeLessThanOrEqual(turns.length)
        expect([low === null, high === null]).toEqual([value === null, value === null])
        if (value === null) return
        expect(low).toBeGreaterThanOrEqual(0)
        expect(low).toBeLessThanOrEqual(value)
        expect(high).toBeGreaterThanOrEqual(value)
        expect(high).toBeLessThanOrEqual(1)
      }),
    )
  })
  it('narrows as the same running goes on', () => {
    const width = (turns: number) => {
      const ratio = ratioOf(
        repeatTurn(turns, (i) => ({ fired: (i * 7919) % 10 < 3 ? 0 : 1, pattern: 'irregular' })),
      )
      return ratio.high! - ratio.low!
    }
    expect(width(1200)).toBeLessThan(width(300))
    expect(width(300)).toBeLessThan(width(75))
  })
})
