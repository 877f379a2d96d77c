import { describe, expect, it } from 'vitest'
import { makeAnalysis, oneSegment } from '../../test/makeAnalysis.js'
import { makeTurns, repeatTurn } from '../../test/relations/makeTurns.js'
import { compareFigures, ofSegments } from './figures.js'
import { toPass } from './passes.js'

const NOTHING = { value: null, low: null, high: null }

describe('figures of both sides', () => {
  it('have no change where a side lacks them, and no interval from a single clip', () => {
    expect(compareFigures([null, 1], [null])).toEqual({ before: 1, after: null, change: NOTHING })
    expect(compareFigures([1], [3, 5])).toEqual({
      before: 1,
      after: 4,
      change: { value: 3, low: null, high: null },
    })
  })
  it('have an interval of no width when clips agree', () => {
    expect(compareFigures([2, 2], [2, 2]).change).toEqual({ value: 0, low: 0, high: 0 })
  })
  it('are means over the segments that have them, by their turns', () => {
    const revolutions = makeTurns(repeatTurn(400, {}))
    const whole = oneSegment(revolutions)
    const segments = [
      { ...whole, endTurn: 100, popDb: 1 },
      { ...whole, firstTurn: 100, endTurn: 200, popDb: null },
      { ...whole, firstTurn: 200, popDb: 4 },
    ]
    const pass = toPass(makeAnalysis(revolutions, { segments }))
    expect(ofSegments(pass, (segment) => segment.popDb)).toBe(3)
    expect(ofSegments(pass, (segment) => segment.unevenness)).toBeNull()
  })
})
