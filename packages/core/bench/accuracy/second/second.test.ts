import { describe, expect, test } from 'vitest'
import { filterBiquad } from '../sound/filters.js'
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
      expect(truth.engineEndS).toBeLessThanOrEqual(samples.length / rateHz + 1e-3)
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

/** Height of the largest sample of each turn, and two groups of heights by two means: what a pulse threshold would do. */
function labelByHeight(samples: Float32Array, rateHz: number, truth: ReturnType<typeof makeSecond>['truth']) {
  const band = filterBiquad(samples.slice(), rateHz, 'lowpass', 4000, 0.7)
  const heights = Array.from(truth.turnStartS, (startS, k) => {
    let top = 0
    const end = Math.min(band.length, Math.round(truth.turnEndS[k]! * rateHz))
    for (let i = Math.round(startS * rateHz); i < end; i++) top = Math.max(top, Math.abs(band[i]!))
    return Math.log(top + 1e-9)
  })
  let low = Math.min(...heights)
  let high = Math.max(...heights)
  for (let round = 0; round < 20; round++) {
    const below = heights.filter((h) => h < (low + high) / 2)
    const above = heights.filter((h) => h >= (low + high) / 2)
    low = below.reduce((sum, h) => sum + h, 0) / Math.max(1, below.length)
    high = above.reduce((sum, h) => sum + h, 0) / Math.max(1, above.length)
  }
  return heights.map((h) => (h >= (low + high) / 2 ? 0 : 1))
}

test('a threshold on pulse height does poorly on the hard conditions, even when handed the true turns', () => {
  const scores: number[] = []
  for (const name of names) {
    if (SECOND_CONDITIONS[name].difficulty !== 'hard') continue
    const { samples, rateHz, truth } = makeShort(name, 12, 3)
    const guess = labelByHeight(samples, rateHz, truth)
    const right = [0, 0]
    const all = [0, 0]
    truth.label.forEach((label, k) => {
      if (label === 2 || truth.state[k] === 'coasting') return
      all[label]!++
      if (guess[k] === label) right[label]!++
    })
    if (all[0]! > 20 && all[1]! > 20) scores.push((right[0]! / all[0]! + right[1]! / all[1]!) / 2)
  }
  scores.sort((a, b) => a - b)
  expect(scores.length).toBeGreaterThan(8)
  // chance is 0.5; a usable detector would stand above 0.9
  expect(scores[Math.floor(scores.length / 2)]).toBeLessThan(0.75)
})

test('a blip picks up at about 300 Hz/s and stays below 11,500 rpm', () => {
  const { truth } = makeSecond('blips', 3)
  const frequency = Array.from(truth.speedRpm, (rpm) => rpm / 60)
  let fastest = 0
  for (let k = 8; k < frequency.length; k++) {
    const rise = (frequency[k]! - frequency[k - 8]!) / (truth.turnStartS[k]! - truth.turnStartS[k - 8]!)
    fastest = Math.max(fastest, rise)
  }
  expect(fastest).toBeGreaterThan(200)
  expect(fastest).toBeLessThan(700)
  expect(Math.max(...frequency)).toBeLessThan(11500 / 60)
})
