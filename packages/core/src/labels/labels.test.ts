import { describe, expect, it } from 'vitest'
import { type HeardWish, makeHeard } from '../../test/makeHeard.js'
import { readCrank, traceSpeed } from '../crank/index.js'
import { EAR_RATE_HZ } from '../ear/constants.js'
import { seededRandom } from '../math/random.js'
import { labelOf, labelTurns } from './index.js'
import { bandLevel, LEVEL_POWER } from './level.js'
import { turnPatterns } from './pattern.js'
import { CANNOT_TELL, FIRED, LABELS, PARTIAL, PATTERNS, SKIPPED, UNSURE } from './types.js'

function label(wish: HeardWish) {
  const { heard } = makeHeard(wish)
  const trace = traceSpeed(heard, new Uint8Array(heard.frames).fill(224))
  return labelTurns(readCrank(trace), trace)
}
const patternNames = (fired: readonly number[]) => [
  ...new Set(Array.from(turnPatterns(fired, new Int32Array(fired.length)), (code) => PATTERNS[code])),
]
const repeat = (count: number, fired: (n: number) => number) =>
  Array.from({ length: count }, (_, n) => fired(n))

describe('labelTurns', () => {
  it.each([2, 3, 4])('tells every turn where one in %i fires', (period) => {
    const {
      label: labels,
      firedProbability,
      pattern,
    } = label({
      durationS: 4,
      speedHz: () => 150,
      fires: (turn) => turn % period === 0,
    })
    const first = labels.indexOf(FIRED)
    labels.forEach((code, n) => {
      expect(code).toBe((n - first) % period === 0 ? FIRED : SKIPPED)
      // The made-up ear is fairly sure, at log-odds of 2 and a half or so, and calibration takes a third of that (0.2 before 2026-11-27).
      expect(Math.abs(firedProbability[n]! - (code === FIRED ? 1 : 0))).toBeLessThan(0.22)
    })
    expect(new Set(pattern)).toEqual(new Set([period - 1]))
  })
  it('gives bounds that hold the chance, and the level', () => {
    const { firedLow, firedHigh, firedProbability, level, speedProbability } = label({
      durationS: 2,
      speedHz: () => 80,
    })
    firedProbability.forEach((p, n) => {
      expect(firedLow[n]!).toBeLessThan(p)
      expect(firedHigh[n]!).toBeGreaterThan(p)
    })
    expect(level[50]).toBeCloseTo(0.2, 2)
    expect(speedProbability[50]).toBeGreaterThan(0.9)
  })
  it('says of a closed throttle that it cannot be told', () => {
    const found = label({ durationS: 4, speedHz: () => 100, coasting: (t) => t > 2 })
    found.timeS.forEach((t, n) => {
      const cannotTell = t > 2.02
      if (Math.abs(t - 2) < 0.03) return
      expect(found.label[n]).toBe(cannotTell ? UNSURE : FIRED)
      expect(found.pattern[n] === CANNOT_TELL).toBe(cannotTell)
      expect(found.firedHigh[n]! - found.firedLow[n]! === 1).toBe(cannotTell)
    })
  })
})

describe('a label', () => {
  const name = (fired: readonly number[], turn: number) => LABELS[labelOf(fired, turn)]
  it('is unsure near a coin toss only', () => {
    expect([0.05, 0.44, 0.47, 0.53, 0.56, 0.95].map((p) => name([p], 0))).toEqual([
      'skipped',
      'skipped',
      'unsure',
      'unsure',
      'fired',
      'fired',
    ])
  })
  it('is partial between turns that surely fired and turns that surely did not', () => {
    expect(name([0.98, 0.02, 0.5, 0.97, 0.03], 2)).toBe(LABELS[PARTIAL])
    expect(name([0.98, 0.98, 0.5, 0.97, 0.97], 2)).toBe('unsure')
  })
})

describe('patterns', () => {
  it.each([
    ['every-turn', () => 0.95],
    ['every-other', (n: number) => (n % 2 ? 0.9 : 0.1)],
    ['every-third', (n: number) => (n % 3 ? 0.1 : 0.9)],
    ['every-third', (n: number) => (n % 3 ? 0.9 : 0.1)],
    ['every-fourth', (n: number) => (n % 4 ? 0.1 : 0.9)],
    ['every-fourth', (n: number) => (n % 4 ? 0.9 : 0.1)],
    ['cannot-tell', () => 0.5],
  ] as const)('%s', (name, fired) => {
    expect(patternNames(repeat(120, fired))).toEqual([name])
  })
  it('are irregular where skips come at random, but for chance likenesses', () => {
    const next = seededRandom(6)
    const codes = turnPatterns(
      repeat(2000, () => (next() < 0.5 ? 0.95 : 0.05)),
      new Int32Array(2000),
    )
    expect(codes.filter((code) => PATTERNS[code] === 'irregular').length).toBeGreaterThan(1800)
  })
  it('stand a lone odd turn, and doubt', () => {
    const next = seededRandom(2)
    const wavering = repeat(200, (n) => (n % 2 ? 0.55 + 0.4 * next() : 0.45 - 0.4 * next()))
    expect(patternNames(wavering)).toEqual(['every-other'])
    expect(patternNames(repeat(41, (n) => (n === 20 ? 0.05 : 0.95)))).toEqual(['every-turn'])
  })
  it('change within half a window of where the engine changes', () => {
    const codes = turnPatterns(
      repeat(80, (n) => (n < 40 || n % 2 ? 0.95 : 0.05)),
      new Int32Array(80),
    )
    expect(codes.subarray(0, 33).every((code) => PATTERNS[code] === 'every-turn')).toBe(true)
    expect(codes.subarray(48).every((code) => PATTERNS[code] === 'every-other')).toBe(true)
  })
  it('are found in a stretch of a few turns, and in none', () => {
    expect(patternNames([0.9])).toEqual(['every-turn'])
    expect(turnPatterns([], [])).toHaveLength(0)
  })
})

describe('bandLevel', () => {
  const tone = (hz: number) =>
    bandLevel(
      Float32Array.from({ length: EAR_RATE_HZ }, (_, i) => Math.sin((2 * Math.PI * hz * i) / EAR_RATE_HZ)),
    )
  const late = (level: Uint8Array) =>
    level.subarray(500).reduce((sum, step) => sum + LEVEL_POWER[step]!, 0) / (level.length - 500)

  it('is half the square of a tone within the band, and little outside', () => {
    expect(late(tone(500))).toBeCloseTo(0.5, 2)
    // Half of the power at the upper end; a factor of three below the lower end 1/82.
    expect(late(tone(4000))).toBeCloseTo(0.25, 2)
    expect(late(tone(10))).toBeCloseTo(0.5 / 82, 3)
  })
  it('has a frame for every whole or begun millisecond', () => {
    expect(bandLevel(new Float32Array(17))).toHaveLength(2)
    expect(bandLevel(new Float32Array())).toHaveLength(0)
  })
})
