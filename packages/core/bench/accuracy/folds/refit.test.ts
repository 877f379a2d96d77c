import { expect, it } from 'vitest'
import { seededRandom } from '../../../src/math/random.js'
import { type TwoKindsScore, weighed } from '../../../src/revolutions/twoKinds.js'
import type { WindowExample } from './examples.js'
import { refitTwoKinds } from './refit.js'

const NOTHING: TwoKindsScore = {
  bias: 1,
  share: 0,
  fold: 0,
  largestWaveDepthDb: 0,
  middleWaveDepthDb: 0,
  againstLag1: 0,
  medianEnvelopeDepthDb: 0,
  secondEnvelopeDepthDb: 0,
  agreement: 0,
}

/** Windows of a source in which two kinds stand `apart` higher in share, about 0.5, scattered by ±0.3. */
function windows(count: number, apart: number, shareOfTwo: number, seed: number): WindowExample[] {
  const random = seededRandom(seed)
  return Array.from({ length: count }, () => {
    const twoKinds = random() < shareOfTwo
    const share = 0.5 + (twoKinds ? apart : -apart) / 2 + 0.6 * (random() - 0.5)
    return { seen: { ...NOTHING, share }, twoKinds }
  })
}
const evenShare = (score: TwoKindsScore): number => -score.bias / score.share

it('finds what tells windows apart, and nothing in what is always the same', () => {
  const score = refitTwoKinds([windows(500, 0.4, 0.5, 1), windows(500, 0.4, 0.5, 2)])
  expect(evenShare(score)).toBeCloseTo(0.5, 1)
  expect(score.agreement).toBe(0)
  expect(weighed({ ...NOTHING, share: 0.9 }, score)).toBeGreaterThan(2)
  expect(weighed({ ...NOTHING, share: 0.1 }, score)).toBeLessThan(-2)
})

it('is not moved by how many windows a class or a source has', () => {
  const even = refitTwoKinds([windows(2000, 0.4, 0.5, 3), windows(2000, -0.4, 0.5, 4)])
  const uneven = refitTwoKinds([windows(4000, 0.4, 0.9, 5), windows(1000, -0.4, 0.2, 6)])
  // The two sources contradict each other: alike in weight they leave nothing.
  expect(Math.abs(even.share)).toBeLessThan(0.5)
  expect(Math.abs(uneven.share)).toBeLessThan(0.5)
  expect(refitTwoKinds([windows(4000, 0.4, 0.9, 5)]).share).toBeGreaterThan(3)
})

it('says otherwise of a source that it was fitted without, when that differs', () => {
  const usual = [windows(500, 0.4, 0.5, 7), windows(500, 0.4, 0.5, 8)]
  const odd = windows(500, 0.4, 0.5, 9).map(({ seen, twoKinds }) => ({
    seen: { ...seen, share: seen.share + 0.3 },
    twoKinds,
  }))
  const wrong = (score: TwoKindsScore) =>
    odd.filter(({ seen, twoKinds }) => weighed(seen, score) > 0 !== twoKinds).length
  expect(wrong(refitTwoKinds(usual))).toBeGreaterThan(wrong(refitTwoKinds([...usual, odd])))
})
