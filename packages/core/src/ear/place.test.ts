import { expect, test } from 'vitest'
import { makeArena } from './arena.js'
import { makeKernels } from './kernels/index.js'
import { depthNamed, matrixNamed, placeDepth, placeMatrix } from './place.js'

const arena = makeArena(makeKernels())
const depth = (taps: number, dilation: number) => ({
  kind: 'depth' as const,
  channels: 4,
  taps,
  dilation,
  biases: new Float32Array(4),
  weights: new Float32Array(4 * taps),
})
const matrix = (width: number, sum: number) => ({
  kind: 'matrix' as const,
  outputs: 3,
  width,
  sum,
  scales: new Float32Array(8),
  biases: new Float32Array(8),
  weights: new Int8Array(8 * width),
})

test('inputs are rounded so that no sum can leave 32 bits', () => {
  expect(placeMatrix(arena, matrix(8, 1000)).most).toBe(32767)
  const { most } = placeMatrix(arena, matrix(8, 100_000))
  expect(most * 100_000).toBeLessThan(2 ** 31)
  expect((most + 1) * 100_000).toBeGreaterThanOrEqual(2 ** 31 - 1)
})
test('what the kernels cannot do is a fault', () => {
  expect(() => placeMatrix(arena, matrix(12, 1))).toThrow('12 wide')
  expect(() => placeDepth(arena, depth(9, 9))).toThrow('36 frames')
  expect(placeDepth(arena, depth(9, 8))).toMatchObject({ taps: 9, dilation: 8 })
})
test('a layer that is missing or of another kind is a fault', () => {
  const level = { steps: [1, 1] as const, preemphasis: 0.9, floor: 1e-9 }
  const layers = new Map([['a', depth(3, 1)]])
  expect(() => matrixNamed({ version: '', level, layers }, 'a')).toThrow('no matrix "a"')
  expect(() => depthNamed({ version: '', level, layers }, 'b')).toThrow('no depthwise layer "b"')
})
