import { describe, expect, test } from 'vitest'
import { takeFrames } from '../../../src/ear/frames.js'
import { placeFront, runFront } from '../../../src/ear/front.js'
import { type Kernels, simdKernels } from '../../../src/ear/kernels/index.js'
import { plainKernels } from '../../../src/ear/kernels/plain.js'
import { addHeld, multiply, placeBlock, runBlocks, runStrided } from '../../../src/ear/layers.js'
import { measureLevel } from '../../../src/ear/levelled.js'
import { loadEar } from '../../../src/ear/model.js'
import { readSpeed } from '../../../src/ear/outputs.js'
import { matrixNamed, placeMatrix } from '../../../src/ear/place.js'
import { addRecurrent, placeRecurrent } from '../../../src/ear/recurrent.js'
import { distance, openLayers, vectorsOf } from './vectors.js'

/**
 * Bound of one layer, of numbers about 1. Rows are rounded to 16 bits: a step is their largest magnitude (about 3) / 32,767,
 * so that a sum of up to 160 products with weights of about 0.1 errs by about 3e-5 rms; the largest of thousands by five
 * times that. A wrong index or a missing tap errs by 0.1 and more.
 */
const ONE_LAYER = 2e-4
/** Without rounding of inputs: what 32-bit floats do. */
const FLOATS = 3e-6
/** Bound of the whole network of 22 layers in a row. */
const WHOLE = 1e-3

const MACHINES: readonly [string, () => Kernels | null][] = [
  ['SIMD', simdKernels],
  ['plain', plainKernels],
]

describe.each(MACHINES)('with %s kernels, as PyTorch has it', (_, make) => {
  const open = (name: string) => {
    const vectors = vectorsOf(name)
    return { ...vectors, ...openLayers(vectors.weights, make()!) }
  }

  test('level and pre-emphasis', () => {
    const { arena, weights, numbers } = open('front')
    const pairs = arena.take(8 * 1600)
    const { level } = placeFront(arena, weights)
    const { sound, plain, sharp, length } = measureLevel(arena, level, numbers('samples'), 2048)
    arena.kernels.levelPairs(sound, plain, sharp, level.preemphasis, level.floor, 0, 1600, pairs)
    expect(length).toBe(2048)
    const { largest } = distance(
      arena.kernels.floats.slice(pairs >> 2, (pairs >> 2) + 3200),
      numbers('pairs'),
    )
    expect(largest).toBeLessThan(FLOATS)
  })
  test('filter bank and compression', () => {
    const { arena, bench, weights, numbers, put } = open('front')
    const { bank, signed, energies } = placeFront(arena, weights)
    const pairs = put(Float32Array.of(...new Float32Array(24), ...numbers('pairs')), 2)
    const [out, heard] = [arena.take(4 * 12 * 64), arena.take(4 * 12 * 40)]
    multiply(bench, bank, pairs.at, 64, 12, out)
    const { floats } = arena.kernels
    expect(distance(floats.slice(out >> 2, (out >> 2) + 12 * 64), numbers('bank')).largest).toBeLessThan(
      ONE_LAYER,
    )
    floats.set(numbers('bank'), out >> 2)
    arena.kernels.compressRows(out, 12, signed, energies, heard)
    const compressed = floats.slice(heard >> 2, (heard >> 2) + 12 * 40)
    expect(distance(compressed, numbers('compressed')).largest).toBeLessThan(FLOATS)
  })
  test('from samples to the finest frames, to the end of the sound', () => {
    const { arena, bench, weights, numbers, get } = open('front')
    const frames = takeFrames(arena, 32, 128)
    runFront(bench, placeFront(arena, weights), numbers('samples'), frames)
    const { largest } = distance(get(frames).slice(40 * 32), numbers('mixed'))
    // Logarithms of energies about 0.01 turn the error of the bank into five times as much.
    expect(largest).toBeLessThan(10 * ONE_LAYER)
  })
  test.each(['block32', 'block64'])('%s, with zeros beyond both ends', (name) => {
    const { arena, bench, weights, numbers, put, get } = open(name)
    const block = placeBlock(arena, weights, 'block')
    const out = runBlocks(bench, [block], put(numbers('input'), block.depth.channels))
    expect(distance(get(out), numbers('output')).largest).toBeLessThan(ONE_LAYER)
  })
  test('strided convolution', () => {
    const { arena, bench, weights, numbers, put, get } = open('strided')
    const matrix = placeMatrix(arena, matrixNamed(weights, 'strided'))
    const out = runStrided(bench, matrix, put(numbers('input'), 32), takeFrames(arena, 48, 5))
    expect(distance(get(out), numbers('output')).largest).toBeLessThan(ONE_LAYER)
  })
  test('coarse frames held', () => {
    const { arena, bench, weights, numbers, put, get } = open('held')
    const finer = put(numbers('finer'), 32)
    addHeld(bench, placeMatrix(arena, matrixNamed(weights, 'held')), put(numbers('input'), 64), finer)
    expect(distance(get(finer), numbers('output')).largest).toBeLessThan(ONE_LAYER)
  })
  test.each([
    ['memory', 48],
    ['spans', 16],
  ])('recurrent layer, both ways: %s', (name, channels) => {
    const { arena, bench, weights, numbers, put, get } = open(name)
    const frames = put(numbers('input'), channels)
    addRecurrent(bench, placeRecurrent(arena, weights, 'memory'), frames)
    expect(distance(get(frames), numbers('output')).largest).toBeLessThan(ONE_LAYER)
  })
  test('chances of speeds', () => {
    const { arena, bench, weights, numbers, put } = open('speeds')
    const frames = put(numbers('input'), 48)
    const speed = readSpeed(bench, placeMatrix(arena, matrixNamed(weights, 'speed')), frames, 3)
    // Inputs are four times as large.
    expect(distance(speed, numbers('output')).largest).toBeLessThan(4 * ONE_LAYER)
  })
  test('the whole network', () => {
    const { weights, numbers, text } = vectorsOf('whole')
    const ear = loadEar(weights, make()!)
    const samples = numbers('samples')
    // Memory that another piece has used gives the same answer.
    ear.listen(samples.map((v) => 1 - v))
    const heard = ear.listen(samples, 2)
    expect(ear.version).toBe(text('version'))
    expect(heard).toMatchObject({ startS: 2, frames: Math.ceil(samples.length / 16) })
    const wanted = numbers('fine')
    const speed = distance(heard.speed, numbers('speed').slice(0, heard.speed.length))
    expect(speed.largest).toBeLessThan(WHOLE)
    for (const [k, name] of (['cosine', 'sine', 'fired', 'engine', 'coasting'] as const).entries()) {
      const column = wanted.filter((_, i) => i % 5 === k).slice(0, heard.frames)
      expect(distance(heard[name], column).largest, name).toBeLessThan(WHOLE)
    }
    const run = {
      startS: Float64Array.from(numbers('begin')),
      durationS: Float64Array.from(numbers('length')),
    }
    const features = ear
      .hearTurns(
        samples,
        wanted.filter((_, i) => i % 5 === 2),
      )
      .of(run)
    expect(distance(features.rows, numbers('features')).largest).toBeLessThan(WHOLE)
    expect(distance(features.sketches, numbers('sketches')).largest).toBeLessThan(WHOLE)
    expect(distance(features.loudness, numbers('loud')).largest).toBeLessThan(WHOLE)
    expect(distance(ear.judgeTurns(features), numbers('judged')).largest).toBeLessThan(WHOLE)
  })
})
