import { describe, expect, it } from 'vitest'
import { skippedShare, turnTruth } from '../truth.js'
import { firstPass } from './first.js'
import { planPair } from './plan.js'
import { PASS_S } from './ride.js'
import { secondPass } from './second.js'

describe.each([
  ['first', firstPass],
  ['second', secondPass],
] as const)('a pass by the %s simulator', (source, make) => {
  // The first one that runs at one speed and skips every other turn, so that its share is known.
  const plan = Array.from({ length: 50 }, (_, i) => planPair(source, 'large', 1 + i)).find(
    ({ speedsHz, before }) => speedsHz.length === 1 && before.skipping === 'every-other',
  )!
  const clip = make(plan, 'before', 0)
  const truth = turnTruth(clip.truth)

  it('lasts as long as it should, at the speed of the plan', () => {
    expect(clip.samples.length / clip.rateHz).toBeCloseTo(PASS_S, 1)
    const middle = truth.speedRpm.slice().sort()[truth.speedRpm.length >> 1]!
    expect(Math.abs(middle / (60 * plan.speedsHz[0]!) - 1)).toBeLessThan(0.08)
  })
  it('skips about as much as the habit says', () => {
    const wanted = plan.before.skippingShare[0]! / 2
    expect(Math.abs(skippedShare(truth).soft - wanted)).toBeLessThan(0.1)
  })
  it('is the same twice, and another on the other side and in the next pass', () => {
    const head = (samples: Float32Array) => samples.slice(0, 2000)
    expect(head(make(plan, 'before', 0).samples)).toEqual(head(clip.samples))
    expect(head(make(plan, 'before', 1).samples)).not.toEqual(head(clip.samples))
    expect(head(make(plan, 'after', 0).samples)).not.toEqual(head(clip.samples))
  })
})
