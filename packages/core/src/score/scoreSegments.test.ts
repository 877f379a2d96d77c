import { describe, expect, it } from 'vitest'
import { makeTurns, repeatTurn } from '../../test/relations/makeTurns.js'
import { misfireRatio } from '../ratio/ratio.js'
import type { Segment, SegmentKind } from '../segments/types.js'
import { scoreSegments } from './scoreSegments.js'

const revolutions = makeTurns([
  ...repeatTurn(40, { fired: 0, pattern: 'irregular' }),
  ...repeatTurn(100, { fired: 1 }),
  ...repeatTurn(200, (i) => ({ fired: i % 2, pattern: 'every-other' })),
  ...repeatTurn(60, { fired: 1 }),
])

function segment(kind: SegmentKind, firstTurn: number, endTurn: number): Segment {
  const figures = {
    speedRpm: 6000,
    misfireRatio: null,
    pattern: null,
    longestSkipRun: 0,
    popDb: null,
    unevenness: null,
  }
  return { kind, firstTurn, endTurn, startS: firstTurn / 100, endS: endTurn / 100, ...figures }
}

describe('scoreSegments', () => {
  const segments = [
    segment('idle', 0, 40),
    segment('pulling', 40, 140),
    segment('steady', 140, 340),
    segment('coasting', 340, 400),
  ]
  it('keeps the kinds of running apart', () => {
    const score = scoreSegments(revolutions, segments)
    expect(score.steady).toMatchObject({ value: 0.5, turns: 200 })
    expect(score.pulling).toMatchObject({ value: 0, turns: 100 })
  })
  it('leaves coasting out of the whole', () => {
    const score = scoreSegments(revolutions, segments)
    expect(score.misfireRatio.turns).toBe(340)
    expect(score.misfireRatio.value).toBeCloseTo((40 + 100) / 340, 6)
    expect(score.misfireRatio).toEqual(misfireRatio(revolutions, segments.slice(0, 3)))
  })
  it('covers the other reading of the turns whose speed is open, however many they are', () => {
    const stretch = (ambiguous: boolean) => ({
      startS: 0,
      endS: 1,
      ambiguous,
      alternativeFactor: ambiguous ? 0.5 : null,
      readingProbability: 0.9,
    })
    const cut = { ...revolutions, stretch: revolutions.stretch.map((_, n) => (n < 230 ? 0 : 1)) }
    const low = (...open: boolean[]) => scoreSegments(cut, segments, open.map(stretch)).steady.low!
    const none = low(false, false)
    expect(low(true, true)).toBe(0)
    // 90 of the 200 steady turns lie in the first stretch.
    expect(low(true, false)).toBeCloseTo(none - (90 / 200) * none, 2)
    expect(low(false, true)).toBeCloseTo(none - (110 / 200) * none, 2)
  })
  it('has no value where there is no such running', () => {
    const nothing = { value: null, low: null, high: null, turns: 0 }
    expect(scoreSegments(revolutions, [segment('coasting', 0, 400)])).toEqual({
      misfireRatio: nothing,
      steady: nothing,
      pulling: nothing,
    })
  })
})
