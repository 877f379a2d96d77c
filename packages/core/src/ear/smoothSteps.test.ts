import { expect, test } from 'vitest'
import { smoothSteps } from './smoothSteps.js'

test('means over what exists of the span', () => {
  const values = Float32Array.of(8, 4, 0, 4, 8)
  expect([...smoothSteps(values, 4)]).toEqual([6, 4, 4, 4, 4])
  expect([...smoothSteps(values, 3)]).toEqual([6, 4, 8 / 3, 4, 6].map(Math.fround))
  expect([...smoothSteps(values, 1)]).toEqual([...values])
})
test('silence behind sound is silent, nothing stays nothing', () => {
  const values = new Float32Array(40).fill(0.1, 0, 20)
  expect(
    smoothSteps(values, 5)
      .slice(23)
      .every((v) => v >= 0 && v < 1e-9),
  ).toBe(true)
  expect(smoothSteps(new Float32Array(0), 5)).toHaveLength(0)
})
