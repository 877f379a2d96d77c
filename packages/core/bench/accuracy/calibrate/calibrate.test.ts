import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../src/math/random.js'
import { logistic } from '../../../src/math/stats.js'
import { BASE_SD, DOUBT_SD } from '../../../src/ratio/constants.js'
import { misfireRatio } from '../../../src/ratio/index.js'
import { makeTurns, repeatTurn, whole } from '../../../test/relations/makeTurns.js'
import { AS_GIVEN, errorAfter, fitLine, straightened } from './chances.js'
import type { HeardClip } from './hear.js'
import { fitWidths, intervalOf, judgeWidths, type Share, straightShare, WANTED } from './intervals.js'
import { engineCuts, fewestErrors, honestTwins, twinCuts } from './thresholds.js'

/** Turns whose true log-odds are 0.5 + 0.4 times the ones given. */
function boastful(count: number) {
  const random = seededRandom(1)
  const odds = Array.from({ length: count }, () => 8 * random() - 4)
  return {
    fired: odds.map(logistic),
    burnt: odds.map((x) => (random() < logistic(0.5 + 0.4 * x) ? 1 : 0)),
  }
}

describe('chances', () => {
  const turns = boastful(20_000)
  it('finds the line that made them', () => {
    const line = fitLine(turns)
    expect(line.shift).toBeCloseTo(0.5, 1)
    expect(line.slope).toBeCloseTo(0.4, 1)
  })
  it('makes them honest', () => {
    expect(errorAfter(AS_GIVEN, turns)).toBeGreaterThan(0.1)
    expect(errorAfter(fitLine(turns), turns)).toBeLessThan(0.01)
  })
  it('leaves honest ones as they are, and certain ones finite', () => {
    const line = fitLine({
      fired: [0.2, 0.2, 0.2, 0.2, 0.2, 0.8, 0.8, 0.8, 0.8, 0.8],
      burnt: [0, 0, 0, 0, 1, 1, 1, 1, 1, 0],
    })
    expect(line.shift).toBeCloseTo(0, 6)
    expect(line.slope).toBeCloseTo(1, 6)
    expect(straightened(1, { shift: 0, slope: 1 })).toBeCloseTo(1, 4)
  })
  it('gives up where all chances are one', () => {
    expect(fitLine({ fired: [0.5, 0.5], burnt: [0, 1] })).toEqual(AS_GIVEN)
  })
})

describe('intervals', () => {
  const share = (value: number, truth: number, doubt = 0.1): Share => ({
    truth,
    value,
    doubt,
    told: 400,
    cannotTell: 0,
    otherFactor: null,
  })

  it('are those of the library', () => {
    const turns = makeTurns(repeatTurn(300, (i) => ({ fired: i % 3 === 0 ? 0.1 : 0.95 })))
    const given = misfireRatio(turns, whole(turns))
    const heard = {
      truth: 0.3,
      low: 0,
      high: 1,
      fired: turns.firedProbability,
      cannotTell: 0,
      otherFactor: null,
    }
    const { low, high } = intervalOf(straightShare(heard, AS_GIVEN), { base: BASE_SD, perDoubt: DOUBT_SD })
    expect(low).toBeCloseTo(given.low!, 4)
    expect(high).toBeCloseTo(given.high!, 4)
  })
  it('cover the other reading of the speed', () => {
    const { low, high } = intervalOf({ ...share(0.5, 0), otherFactor: 0.5 }, { base: 0.01, perDoubt: 0 })
    expect(low).toBe(0)
    expect(high).toBeGreaterThan(0.5)
  })
  it('are as wide as it takes to hold, no wider', () => {
    const random = seededRandom(2)
    const normal = () => Array.from({ length: 12 }, random).reduce((sum, u) => sum + u, -6)
    const shares = Array.from({ length: 1000 }, () => share(0.5 + 0.06 * normal(), 0.5))
    const fit = fitWidths([shares], 0)!
    expect(fit.holds).toBeGreaterThanOrEqual(WANTED)
    expect(fit.holds).toBeLessThan(WANTED + 0.02)
    expect(fit.width).toBeGreaterThan(4 * 0.06 * 0.95)
    expect(fit.width).toBeLessThan(4 * 0.06 * 1.1)
  })
  it('grow with the doubt where errors do', () => {
    const random = seededRandom(3)
    const shares = Array.from({ length: 1000 }, () => {
      const doubt = random()
      return share(0.5 + 0.3 * doubt * (2 * random() - 1), 0.5, doubt)
    })
    expect(fitWidths([shares], 0)!.perDoubt).toBeGreaterThan(0.05)
  })
  it('count clips and recordings alike', () => {
    const many = Array.from({ length: 90 }, () => share(0.5, 0.9))
    const few = Array.from({ length: 10 }, () => share(0.5, 0.5))
    expect(judgeWidths([many, few], { base: 0.01, perDoubt: 0 }).holds).toBe(0.5)
  })
  it('are not to be had where truths lie anywhere', () => {
    expect(fitWidths([[share(0, 1, 0), share(0, 1, 0)]], 0.01)).toBeNull()
    expect(judgeWidths([[share(0.2, 0.9)]], { base: 0.01, perDoubt: 0 }).holds).toBe(0)
  })
})

describe('thresholds', () => {
  const clip = (isEngine: boolean, engineProbability: number, speed: HeardClip['speed'] = null) =>
    ({ isEngine, engineProbability, speed }) as HeardClip

  it('count engines lost and other sounds taken', () => {
    const cuts = engineCuts([clip(true, 0.96), clip(true, 0.3), clip(false, 0.6), clip(false, 0)])
    expect(cuts.find(({ from }) => from === 0.5)).toEqual({ from: 0.5, lost: 1, taken: 1 })
    expect(cuts.find(({ from }) => from === 0.7)).toEqual({ from: 0.7, lost: 1, taken: 0 })
  })
  it('choose the chance with the fewest errors of both kinds', () => {
    const clips = [clip(true, 0.96), clip(true, 0.62), clip(false, 0.55), clip(false, 0)]
    expect(fewestErrors(clips)).toEqual({ from: 0.6, lost: 0, taken: 0 })
  })
  it('declare as little as leaves hardly any reading confidently wrong', () => {
    const right = Array.from({ length: 10 }, () =>
      clip(true, 1, { readingProbability: 0.9, reading: 'right' }),
    )
    const wrong = clip(true, 1, { readingProbability: 0.79, reading: 'wrong' })
    expect(honestTwins([...right, wrong])).toEqual({
      from: 0.2,
      wrong: 0,
      wrongDeclared: 1,
      rightDeclared: 0,
    })
    expect(honestTwins([...right, clip(true, 1, { readingProbability: 0.999, reading: 'wrong' })])).toBeNull()
  })
  it('tell declared readings from confident ones', () => {
    const cuts = twinCuts([
      clip(true, 1, { readingProbability: 0.99, reading: 'right' }),
      clip(true, 1, { readingProbability: 0.7, reading: 'right, open' }),
      clip(true, 1, { readingProbability: 0.75, reading: 'wrong' }),
      clip(true, 1, { readingProbability: 0.99, reading: 'not found' }),
    ])
    expect(cuts.find(({ from }) => from === 0.1)).toEqual({
      from: 0.1,
      wrong: 0,
      wrongDeclared: 1,
      rightDeclared: 1,
    })
    expect(cuts.find(({ from }) => from === 0.5)).toEqual({
      from: 0.5,
      wrong: 1,
      wrongDeclared: 0,
      rightDeclared: 0,
    })
  })
})
