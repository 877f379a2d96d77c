import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { heardAt, heardRightly, truthFrom } from './madeUpAnalysis.js'
import { covering, matchTurns, nearest } from './match.js'

const truth = truthFrom('FSFFSFSSFF'.repeat(4))
const { revolutions } = heardRightly(truth)

describe('matchTurns', () => {
  it('pairs every turn with itself where the grids agree', () => {
    expect([...matchTurns(truth, revolutions)]).toEqual(Array.from(truth.burn, (_, i) => i))
  })

  it('does not mind where in the turn a grid starts, nor jitter', () => {
    const turnS = 0.01
    // Anchors lie half a turn into the true turn, so a grid shifted by less than that still covers its own turn.
    const jitter = fc.array(fc.double({ min: -0.1, max: 0.1, noNaN: true }), { minLength: 40, maxLength: 40 })
    fc.assert(
      fc.property(fc.double({ min: -0.45, max: 0.38, noNaN: true }), jitter, (shift, jitters) => {
        const borders = jitters.map((j, i) => truth.startS[i]! + (shift + j) * turnS)
        const timeS = borders.slice(0, -1)
        const durationS = timeS.map((from, k) => borders[k + 1]! - from)
        const found = { timeS, durationS, stretch: new Int32Array(timeS.length) }
        const match = [...matchTurns(truth, found)].slice(0, timeS.length)
        expect(match.filter((k, i) => k >= 0 && k !== i)).toEqual([])
        expect(match.filter((k) => k >= 0).length).toBeGreaterThan(35)
      }),
    )
  })

  it('pairs nothing at half, double, or one and a half times the speed', () => {
    for (const factor of [0.5, 2, 1.5, 2 / 3]) {
      const match = matchTurns(truth, heardAt(factor, truth).revolutions)
      expect([...match].filter((k) => k >= 0)).toEqual([])
    }
  })

  it('counts a turn that was not found as missing and pairs those after it rightly', () => {
    const without = (list: Float64Array | Int32Array) => Array.from(list).filter((_, i) => i !== 7)
    const { timeS, durationS, stretch } = revolutions
    const found = { timeS: without(timeS), durationS: without(durationS), stretch: without(stretch) }
    const match = matchTurns(truth, found)
    expect([...match].slice(5, 10)).toEqual([5, 6, -1, 7, 8])
  })

  it('gives a found turn to one true turn only', () => {
    const match = [...matchTurns(truth, heardAt(0.9, truth).revolutions)].filter((k) => k >= 0)
    expect(new Set(match).size).toBe(match.length)
    expect(match.length).toBeGreaterThan(20)
  })

  it('pairs nothing with nothing', () => {
    const nothing = { timeS: [], durationS: [], stretch: [] }
    expect([...matchTurns(truth, nothing)]).toEqual(new Array(40).fill(-1))
    expect([...matchTurns({ startS: [], endS: [], anchorS: [] }, revolutions)]).toEqual([])
  })
})

it('finds the turn that holds a time, and none in a gap', () => {
  const found = { timeS: [0, 1, 3], durationS: [1, 1, 1] }
  expect([-0.1, 0, 0.99, 1, 2.5, 3.5, 4].map((at) => covering(found, at))).toEqual([-1, 0, 0, 1, -1, 2, -1])
})

it('finds the nearest value', () => {
  expect([-5, 0.4, 0.6, 9].map((at) => nearest([0, 1, 3], at))).toEqual([0, 0, 1, 2])
  expect(nearest([], 1)).toBe(-1)
})
