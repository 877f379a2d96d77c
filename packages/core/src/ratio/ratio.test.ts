import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { makeTurns, repeatTurn, type Turn, whole } from '../../test/relations/makeTurns.js'
import { PARTIAL, PATTERNS, UNSURE } from '../labels/types.js'
import { Z95 } from '../math/stats.js'
import type { Ratio } from '../ratio/types.js'
import { BASE_SD, DOUBT_SD } from './constants.js'
import { misfireRatio } from './ratio.js'

function ratioOf(turns: readonly Turn[]) {
  const revolutions = makeTurns(turns)
  return misfireRatio(revolutions, whole(revolutions))
}
const width = ({ low, high }: Ratio): number => high! - low!
const alternate = (i: number): Turn => ({ fired: i % 2, pattern: 'every-other' })
const unknown: Turn = { fired: 0.5, low: 0, high: 1, pattern: 'cannot-tell', label: UNSURE }

describe('misfireRatio', () => {
  it('says nothing of nothing', () => {
    expect(misfireRatio(makeTurns([]), [])).toEqual({ value: null, low: null, high: null, turns: 0 })
  })
  it('knows little from one doubtful turn', () => {
    const one = ratioOf([{ fired: 0.9 }])
    expect(one).toMatchObject({ low: 0, turns: 1 })
    expect(one.value).toBeCloseTo(0.1, 6)
    expect(one.high!).toBeGreaterThan(0.5)
  })
  it('gives no ratio when every turn is unsure', () => {
    expect(ratioOf(repeatTurn(200, unknown))).toEqual({ value: null, low: null, high: null, turns: 0 })
  })
  it('reads sure turns narrowly, however they come', () => {
    const inRuns = ratioOf(repeatTurn(300, (i) => ({ fired: Math.floor(i / 25) % 2, pattern: 'irregular' })))
    const strict = ratioOf(repeatTurn(300, alternate))
    expect(inRuns).toEqual(strict)
    expect(strict.value).toBe(0.5)
    expect(width(strict)).toBeCloseTo(2 * Z95 * BASE_SD, 9)
  })
  it('is the wider the more its turns are in doubt', () => {
    const widths = [0.02, 0.05, 0.1, 0.15, 0.22].map((p) =>
      width(ratioOf(repeatTurn(300, (i) => ({ fired: i % 2 ? p : 1 - p })))),
    )
    widths.forEach((w, k) => {
      if (k > 0) expect(w).toBeGreaterThan(1.05 * widths[k - 1]!)
    })
  })
  it('counts a partial burn by its share', () => {
    const ratio = ratioOf(repeatTurn(100, (i) => (i % 2 ? { fired: 1 } : { fired: 0.4, label: PARTIAL })))
    expect(ratio.value).toBeCloseTo(0.3, 6)
  })
  it('keeps unknown turns out of the value but in the interval', () => {
    const sure = ratioOf(repeatTurn(200, { fired: 1 }))
    const half = ratioOf(repeatTurn(300, (i) => (i % 3 === 0 ? unknown : { fired: 1 })))
    expect(half.value).toBe(0)
    expect(half.turns).toBe(200)
    expect(half.high! - sure.high!).toBeGreaterThan(0.1)
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
      speedProbability: share,
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
  it('narrows as the same running goes on, down to what all its turns share', () => {
    const widthOf = (turns: number) =>
      width(ratioOf(repeatTurn(turns, (i) => ({ fired: (i * 7919) % 10 < 3 ? 0.1 : 0.9 }))))
    expect(widthOf(1200)).toBeLessThan(widthOf(300))
    expect(widthOf(300)).toBeLessThan(widthOf(75))
    expect(widthOf(100_000)).toBeGreaterThan(2 * Z95 * DOUBT_SD * 0.36)
  })
})
