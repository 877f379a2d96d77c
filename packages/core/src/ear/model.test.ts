import { describe, expect, test } from 'vitest'
import { vectorsOf } from '../../test/reference/torch/vectors.js'
import { seededRandom } from '../math/random.js'
import { SPEED_BINS } from './constants.js'
import { plainKernels } from './kernels/plain.js'
import { loadEar, shippedEar } from './model.js'
import type { Heard } from './types.js'

const random = seededRandom(1)
/** Pulses in noise, never silent: root mean square about 0.1. */
const sound = Float32Array.from(
  { length: 16000 },
  (_, i) => 0.3 * Math.exp(-(i % 200) / 20) * Math.sin(i / 3) + 0.1 * (random() - 0.5),
)
const COLUMNS = ['speed', 'cosine', 'sine', 'fired', 'engine', 'coasting'] as const
const farthest = (a: Heard, b: Heard) =>
  COLUMNS.map((name) => a[name].reduce((most, v, k) => Math.max(most, Math.abs(v - b[name][k]!)), 0))
const expectWhole = (heard: Heard, frames: number) => {
  expect(heard.frames).toBe(frames)
  for (const name of COLUMNS) {
    expect(heard[name]).toHaveLength(name === 'speed' ? Math.ceil(frames / 16) * (SPEED_BINS + 1) : frames)
    expect(heard[name].every(Number.isFinite), name).toBe(true)
  }
}

describe.each([
  ['the shipped ear', shippedEar],
  ['a small random ear without SIMD', () => loadEar(vectorsOf('whole').weights, plainKernels())],
])('%s', (_, make) => {
  const ear = make()
  test('nothing, one sample and silence are answers', () => {
    expectWhole(ear.listen(new Float32Array(0)), 0)
    expectWhole(ear.listen(Float32Array.of(0.5)), 1)
    expectWhole(ear.listen(new Float32Array(16001)), 1001)
  })
  test('chances of the speeds add up to 1', () => {
    const { speed } = ear.listen(sound)
    for (let at = 0; at < speed.length; at += SPEED_BINS + 1) {
      const total = speed.subarray(at, at + SPEED_BINS + 1).reduce((sum, v) => sum + Math.exp(v), 0)
      expect(total).toBeCloseTo(1, 4)
    }
  })
  test('a hundredth of the loudness changes nothing', () => {
    const quiet = ear.listen(sound.map((v) => v / 100))
    // The floor of the level, 1e-9, is a thousandth of a mean square of 1e-6: the level moves by half of that.
    for (const distance of farthest(quiet, ear.listen(sound))) expect(distance).toBeLessThan(0.02)
  })
  test('silence behind a piece, to a whole unit, changes nothing', () => {
    const short = sound.subarray(0, 15_900)
    const longer = new Float32Array(16_384)
    longer.set(short)
    const [a, b] = [ear.listen(short), ear.listen(longer)]
    expect(a.frames).toBe(994)
    expect(farthest(a, b)).toEqual([0, 0, 0, 0, 0, 0])
  })
  test('a long piece in between leaves nothing behind', () => {
    const before = ear.listen(sound, 3)
    ear.listen(new Float32Array(50_000).fill(1))
    expect(ear.listen(sound, 3)).toEqual(before)
    expect(before.startS).toBe(3)
  })
})

test('the shipped ear is unpacked once', () => {
  expect(shippedEar()).toBe(shippedEar())
})
