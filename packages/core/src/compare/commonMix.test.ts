import { describe, expect, it } from 'vitest'
import { makeAnalysis, oneSegment } from '../../test/makeAnalysis.js'
import { makeTurns, repeatTurn } from '../../test/relations/makeTurns.js'
import type { SegmentKind } from '../segments/types.js'
import { commonMix } from './commonMix.js'
import { type Pass, toPass } from './passes.js'

/** Two thousand turns, `share` of them at the first speed. */
function ride(share: number, [first, second]: readonly [number, number], kind: SegmentKind = 'steady'): Pass {
  const revolutions = makeTurns(repeatTurn(2000, (i) => ({ rpm: i < 2000 * share ? first : second })))
  return toPass(makeAnalysis(revolutions, { segments: [oneSegment(revolutions, kind)] }))
}
const SPEEDS = [5000, 7500] as const
/** Weighted share of the turns below 6,000 rpm. */
function slowShare(pass: Pass, weights: Float64Array): number {
  const slow = weights.filter((_, i) => pass.logSpeed[i]! < Math.log(6000))
  const sum = (values: Float64Array) => values.reduce((total, value) => total + value, 0)
  return sum(slow) / sum(weights)
}

describe('the common mix', () => {
  it('is all of it where both sides ran alike', () => {
    const { overlap, before } = commonMix([ride(0.4, SPEEDS)], [ride(0.4, SPEEDS)])
    expect(overlap).toBeCloseTo(1, 9)
    expect(before[0]!.every((weight) => weight > 0.999)).toBe(true)
  })
  it('is nothing where they ran at other speeds, in another way, or nothing is known', () => {
    const slow = ride(1, SPEEDS)
    expect(commonMix([slow], [ride(0, SPEEDS)]).overlap).toBeLessThan(0.02)
    expect(commonMix([slow], [ride(1, SPEEDS, 'pulling')]).overlap).toBe(0)
    const unsure = makeTurns(repeatTurn(500, { rpm: 5000, fired: 0.5, low: 0, high: 1 }))
    const unknown = toPass(makeAnalysis(unsure, { segments: [oneSegment(unsure)] }))
    expect(commonMix([slow], [unknown]).overlap).toBe(0)
  })
  it('weighs both sides to the same shares of speeds', () => {
    const [own, other] = [ride(0.7, SPEEDS), ride(0.3, SPEEDS)]
    const { overlap, before, after } = commonMix([own], [other])
    // What both have of each speed: 0.3 of the slow one and 0.3 of the fast one.
    expect(overlap).toBeCloseTo(0.6, 2)
    expect(slowShare(own, before[0]!)).toBeCloseTo(0.5, 2)
    expect(slowShare(other, after[0]!)).toBeCloseTo(0.5, 2)
  })
  it('does not weigh away a state that runs a few percent faster', () => {
    const [own, other] = [ride(0.8, [5100, 4900]), ride(0.2, [5100, 4900])]
    const fast = (pass: Pass, weights: Float64Array) => {
      const at = weights.filter((_, i) => pass.logSpeed[i]! > Math.log(5000))
      return at.reduce((sum, w) => sum + w, 0) / weights.reduce((sum, w) => sum + w, 0)
    }
    const { before, after } = commonMix([own], [other])
    expect(fast(own, before[0]!)).toBeGreaterThan(0.77)
    expect(fast(other, after[0]!)).toBeLessThan(0.23)
  })
})
