import { expect, test } from 'vitest'
import { halfFloats } from './halfFloats.js'

// IEEE 754-2019, binary16: one bit of sign, five of exponent (bias 15), ten of fraction.
test.each([
  [0x0000, 0],
  [0x3c00, 1],
  [0xc000, -2],
  [0x3555, 0.333251953125],
  [0x7bff, 65504],
  [0xfbff, -65504],
  [0x0400, 2 ** -14],
  [0x03ff, 1023 * 2 ** -24],
  [0x8001, -(2 ** -24)],
])('bits %i are %f', (bits, value) => {
  expect(halfFloats(Uint16Array.of(bits))[0]).toBe(value)
})
test('nothing from nothing', () => {
  expect(halfFloats(new Uint16Array(0))).toHaveLength(0)
})
