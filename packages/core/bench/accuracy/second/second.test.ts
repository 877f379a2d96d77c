import { describe, expect, test } from 'vitest'
import { drawSecond, makeSecond, SECOND_CONDITIONS, type SecondName, simulateSecond } from './index.js'

const names = Object.keys(SECOND_CONDITIONS) as SecondName[]

/** A condition cut to a few seconds so that all of them can be run. */
function makeShort(name: SecondName, seed: number, durationS = 2.5) {
  const scenario = drawSecond(name, seed)
  const drive = { ...scenario.drive, stopS: Math.min(scenario.drive.stopS, durationS) }
  return simulateSecond({ ...scenario, durationS, drive }, seed)
}

function shareOf(truth: { label: Uint8Array }, code: number): number {
  return truth.label.reduce((sum, label) => sum + (label === code ? 1 : 0), 0) / truth.label.length
}

describe('every condition', () => {
  test.each(names)(
    '%s: sound is finite, within ±1 and not silent; turns are in order and agree with the speed',
    (name) => {
      const { samples, rateHz, truth } = makeShort(name, 7)
      let peak = 0
      for (const value of samples)
        peak = Math.max(peak, Number.isFinite(value) ? Math.abs(value) : Number.POSITIVE_INFINITY)
      expect(peak).toBeLessThanOrEqual(1)
      expect(peak).toBeGreaterThan(0.02)
      const turns = truth.turnStartS.length
      expect(turns).toBeGreaterThan(60)
      const passing = name === 'doppler'
      for (let k = 0; k < turns; k++) {
        const lengthS = truth.turnEndS[k]! - truth.turnStartS[k]!
        if (k > 0) expect(truth.turnStartS[k]).toBeCloseTo(truth.turnEndS[k - 1]!, 9)
        // a pass-by at 15 m/s shifts what is heard by at most 15 / (343 − 15) = 4.6 %
        expect(Math.abs((lengthS * truth.speedRpm[k]!) / 60 - 1)).toBeLessThan(passing ? 0.047 : 1e-6)
        expect(truth.burn[k]).toBeGreaterThanOrEqual(0)
        expect(truth.burn[k]).toBeLessThanOrEqual(1)
        expect(truth.label[k]).toBe(truth.burn[k]! > 0.9 ? 0 : truth.burn[k]! < 0.1 ? 1 : 2)
      }
      expect(truth.state).toHaveLength(turns)
      expect(truth.engineEndS).toBeLessThanOrEqual(samples.length / rateHz + 0.05)
    },
  )
})

test('the same seed gives the same clip, another seed another one', () => {
  const a = makeShort('street', 3, 1)
  expect(makeShort('street', 3, 1).samples).toEqual(a.samples)
  expect(makeShort('street', 4, 1).samples).not.toEqual(a.samples)
})

test('whole clips last 8 to 12 s', () => {
  const { samples, rateHz } = makeSecond('quiet-steady', 1)
  expect(samples.length / rateHz).toBeGreaterThan(7.99)
  expect(samples.length / rateHz).toBeLessThan(12.01)
})

describe('firing follows from the residual gas', () => {
  test.each([
    ['clean', 0.97, 1],
    ['every-other', 0.44, 0.53],
    ['every-fourth', 0, 0.75],
    ['idle', 0.05, 0.3],
  ] as const)('%s fires between %d and %d of its turns', (name, low, high) => {
    const { truth } = makeShort(name, 5, 4)
    expect(shareOf(truth, 0)).toBeGreaterThanOrEqual(low)
    expect(shareOf(truth, 0)).toBeLessThanOrEqual(high)
  })

  test('coasting does not fire', () => {
    const { truth } = makeShort('coasting', 5, 5)
    const fired = truth.state.filter((state, k) => state === 'coasting' && truth.label[k] === 0).length
    const coasting = truth.state.filter((state) => state === 'coasting').length
    expect(coasting).toBeGreaterThan(50)
    expect(fired / coasting).toBeLessThan(0.03)
  })

  test('alternation fires at half the crank frequency', () => {
    const { truth } = makeShort('alternation-2x', 2, 4)
    const fired = Array.from(truth.turnStartS).filter((_, k) => truth.label[k] === 0)
    const gaps = fired
      .slice(1)
      .map((timeS, k) => timeS - fired[k]!)
      .sort((a, b) => a - b)
    const rpm = Array.from(truth.speedRpm).sort((a, b) => a - b)[Math.floor(truth.speedRpm.length / 2)]!
    expect((gaps[Math.floor(gaps.length / 2)]! * rpm) / 120).toBeCloseTo(1, 1)
  })

  test('the twins share their firing frequency', () => {
    const double = makeShort('alternation-2x', 2, 3).truth.speedRpm
    const half = makeShort('clean-half', 2, 3).truth.speedRpm
    const mean = (x: Float64Array) => x.reduce((sum, v) => sum + v, 0) / x.length
    expect(mean(double) / mean(half)).toBeCloseTo(2, 1)
  })
})
