import { expect, it } from 'vitest'
import { hearBands } from '../bands/index.js'
import { seededRandom } from '../math/random.js'
import { trackSpeed } from '../speed/index.js'
import { cutRun } from '../turns/index.js'
import { engineProbability, gateFeatures } from './gate.js'
import { repeatShare } from './gateBursts.js'
import { pitchMoves } from './gatePitch.js'

const RATE_HZ = 16000
const SECONDS = 4

/** Rows of a fixed shape of mean square 1 and fresh noise of mean square `noise`. */
function rows(shape: number, noise: number, turns = 600, points = 24) {
  const random = seededRandom(5)
  const spread = Math.sqrt(12 * noise)
  const at = (i: number): number =>
    shape * Math.SQRT2 * Math.sin((2 * Math.PI * (i % points)) / points) + spread * (random() - 0.5)
  return { points, turns, values: Float32Array.from({ length: turns * points }, (_, i) => at(i)) }
}

/** Starts of turns at a speed that may change with time. */
function starts(speedHz: (timeS: number) => number): Float64Array {
  const out = [0]
  while (out.at(-1)! < SECONDS) out.push(out.at(-1)! + 1 / speedHz(out.at(-1)!))
  return Float64Array.from(out)
}

/** Chance of an engine in a sound made from the crank angle in turns and the time in seconds. */
function chance(speedHz: (timeS: number) => number, sound: (angle: number, timeS: number) => number): number {
  let angle = 0
  const samples = Float32Array.from({ length: SECONDS * RATE_HZ }, (_, i) => {
    angle += speedHz(i / RATE_HZ) / RATE_HZ
    return 0.2 * sound(angle, i / RATE_HZ)
  })
  const bands = hearBands(samples, RATE_HZ)
  const runs = trackSpeed(bands.speed).map((run) => cutRun(run, bands))
  return Math.max(0, ...runs.map((run) => (run ? engineProbability(gateFeatures(run)) : 0)))
}

const wandering = (timeS: number): number =>
  90 * (1 + 0.03 * Math.sin(4 * timeS) + 0.01 * Math.sin(17 * timeS))

/** A port that opens once a turn, ringing at 300, 700 and 1,300 Hz, with a hiss that dies away. */
function exhaust(): (angle: number, timeS: number) => number {
  const random = seededRandom(9)
  let turn = 0
  let openedS = 0
  let strength = 1
  return (angle, timeS) => {
    if (Math.floor(angle) > turn) {
      turn = Math.floor(angle)
      openedS = timeS
      strength = 0.8 + 0.4 * random()
    }
    const t = timeS - openedS
    const ring = (hz: number): number => Math.exp(-t * 250) * Math.sin(2 * Math.PI * hz * t)
    return strength * (ring(300) + ring(700) + 0.5 * ring(1300) + 0.3 * Math.exp(-t * 400) * (random() - 0.5))
  }
}

it('hears an engine in ringing bursts at a wandering speed', () => {
  expect(chance(wandering, exhaust())).toBeGreaterThan(0.8)
})

it('refuses the same bursts at a speed that is constant to a part in a thousand', () => {
  expect(chance(() => 90, exhaust())).toBeLessThan(0.2)
})

it('refuses a gear of nine teeth whining in step with a wandering shaft', () => {
  const random = seededRandom(3)
  const whine = (angle: number): number =>
    [1, 2, 9, 18].reduce((sum, k) => sum + Math.sin(2 * Math.PI * k * angle + k), 0) + random() - 0.5
  expect(chance(wandering, whine)).toBeLessThan(0.3)
})

it('refuses a tune of eight notes, each a series of harmonics', () => {
  const note = (timeS: number): number =>
    80 * 2 ** ([0, 4, 7, 5, 2, 9, 4, 0][Math.floor(2 * timeS) % 8]! / 12)
  const saw = (angle: number): number =>
    Array.from({ length: 14 }, (_, k) => Math.sin(2 * Math.PI * (k + 1) * angle) / (k + 1)).reduce(
      (a, b) => a + b,
    )
  expect(chance(note, saw)).toBeLessThan(0.2)
})

it('is 0 for noise and silence', () => {
  const random = seededRandom(1)
  expect(chance(wandering, () => random() - 0.5)).toBeLessThan(0.1)
  expect(chance(wandering, () => 0)).toBe(0)
})

it('splits repeating from fresh energy: S / (S + N)', () => {
  for (const [shape, noise] of [
    [1, 1],
    [1, 3],
    [1, 0.25],
  ] as const)
    expect(repeatShare(rows(shape, noise))).toBeCloseTo(shape / (shape + noise), 1)
  expect(repeatShare(rows(0, 1))).toBeLessThan(0.05)
  expect(repeatShare(rows(1, 0))).toBeCloseTo(1, 6)
  expect(repeatShare(rows(1, 0, 8))).toBe(0)
})

it('takes loudness from turn to turn for no burst', () => {
  const { points, turns } = rows(0, 1)
  const values = Float32Array.from({ length: points * turns }, (_, i) => Math.floor(i / points) % 5)
  expect(repeatShare({ points, turns, values })).toBeCloseTo(0, 6)
})

it('tells notes from a wandering speed and from a hum', () => {
  const hum = pitchMoves(starts(() => 100))
  expect(hum.constantShare).toBeGreaterThan(0.95)
  expect(hum.stepShare).toBe(0)
  const tune = pitchMoves(starts((t) => (Math.floor(2 * t) % 2 ? 100 : 125)))
  expect(tune.stepShare).toBeGreaterThan(0.5)
  const crank = pitchMoves(starts(wandering))
  expect(crank.constantShare).toBeLessThan(0.3)
  expect(crank.stepShare).toBeLessThan(0.1)
})
