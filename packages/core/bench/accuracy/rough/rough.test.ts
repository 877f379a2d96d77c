import { describe, expect, it } from 'vitest'
import { rootMeanSquare } from '../sound/filters.js'
import { createRandom } from '../sound/random.js'
import { roughen } from './index.js'
import { HARDSHIPS, ROUGHENINGS, type RoughKind } from './kinds.js'
import { levelQuickly } from './leveller.js'
import { lacking } from './tools.js'

const RATE_HZ = 16000
const tone = (hz: number, seconds = 2) =>
  Float32Array.from({ length: seconds * RATE_HZ }, (_, i) => 0.2 * Math.sin((2 * Math.PI * hz * i) / RATE_HZ))
const recording = (samples: Float32Array) => ({ samples, rateHz: RATE_HZ, notes: [] })
const levelOf = (samples: ArrayLike<number>) => rootMeanSquare(samples)
const KINDS: readonly RoughKind[] = [...ROUGHENINGS, ...HARDSHIPS]

describe.each(KINDS)('%s', (kind) => {
  it.skipIf(lacking(kind))('keeps the length, changes the sound, leaves the recording as it is', () => {
    const clean = recording(tone(200))
    const before = clean.samples.slice()
    const rough = roughen(clean, kind, 1)
    expect(rough.samples.length / rough.rateHz).toBeCloseTo(2, 1)
    expect(levelOf(rough.samples)).toBeGreaterThan(0.05)
    expect(Array.from(rough.samples)).not.toEqual(Array.from(before))
    expect(clean.samples).toEqual(before)
  })
  it.skipIf(lacking(kind))('is the same for the same seed', () => {
    const clean = recording(tone(200, 1))
    expect(roughen(clean, kind, 7).samples).toEqual(roughen(clean, kind, 7).samples)
  })
})

it('adds a street 8 dB below the engine', () => {
  const clean = tone(200)
  const rough = roughen(recording(clean), 'street', 1).samples
  const street = clean.map((v, i) => rough[i]! - v)
  expect(20 * Math.log10(levelOf(clean) / levelOf(street))).toBeCloseTo(8, 2)
})

it('adds a car whose loudest second is as loud as the engine', () => {
  const clean = tone(200, 4)
  const rough = roughen(recording(clean), 'car', 1).samples
  const car = clean.map((v, i) => rough[i]! - v)
  const seconds = Array.from({ length: 31 }, (_, k) => (k * RATE_HZ) / 10)
  const loudest = Math.max(...seconds.map((from) => rootMeanSquare(car, from, from + RATE_HZ)))
  expect(loudest / levelOf(clean)).toBeCloseTo(1, 2)
  expect(
    loudest / Math.min(...seconds.map((from) => rootMeanSquare(car, from, from + RATE_HZ))),
  ).toBeGreaterThan(1.3)
})

it('lets 300 Hz pass and takes 24 dB from what is an octave above 900 Hz', () => {
  const passed = (hz: number) =>
    20 * Math.log10(levelOf(roughen(recording(tone(hz)), 'low-passed', 1).samples) / levelOf(tone(hz)))
  expect(passed(300)).toBeGreaterThan(-0.2)
  expect(passed(1800)).toBeLessThan(-23)
})

it('levels a soft half to the loud one within moments', () => {
  const halves = tone(200).map((v, i, { length }) => (i < length / 2 ? v : v / 8))
  const level = levelQuickly(halves.slice(), RATE_HZ, 0.05)
  const soft = rootMeanSquare(level, 1.3 * RATE_HZ, 2 * RATE_HZ)
  expect(soft / rootMeanSquare(level, 0.3 * RATE_HZ, RATE_HZ)).toBeCloseTo(1, 1)
})

it('leaves silence silent', () => {
  expect(levelOf(levelQuickly(new Float32Array(100), RATE_HZ, 0.05))).toBe(0)
})

it('has noise of its own for every seed', () => {
  const [a, b] = [1, 2].map((seed) => roughen(recording(tone(200, 1)), 'street', seed).samples)
  expect(a).not.toEqual(b)
  expect(createRandom(1, 'rough/street').uniform()).not.toBe(createRandom(1, 'rough/car').uniform())
})
