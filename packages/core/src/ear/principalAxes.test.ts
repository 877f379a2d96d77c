import { expect, test } from 'vitest'
import { dot } from '../math/matrix.js'
import { principalAxes } from './principalAxes.js'

test('the strongest axes of a matrix whose axes are known, strongest first', () => {
  // A rotation by 30° in the plane of the first two of eight axes, strengths 9, 4, 1, 0.5, 0.1, 0.05, 0, 0.
  const strengths = [9, 4, 1, 0.5, 0.1, 0.05, 0, 0]
  const size = strengths.length
  const [c, s] = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)]
  const axes = strengths.map((_, k) =>
    Float64Array.from({ length: size }, (_, i) =>
      k === 0 ? ([c, s][i] ?? 0) : k === 1 ? ([-s, c][i] ?? 0) : i === k ? 1 : 0,
    ),
  )
  const products = new Float64Array(size * size)
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++)
      products[i * size + j] = strengths.reduce((sum, v, k) => sum + v * axes[k]![i]! * axes[k]![j]!, 0)
  const found = principalAxes(products, size)
  expect(found).toHaveLength(6)
  found.slice(0, 4).forEach((axis, k) => {
    expect(Math.abs(dot(axis, axes[k]!))).toBeCloseTo(1, 3)
    expect(dot(axis, axis)).toBeCloseTo(1, 9)
  })
})

test('a matrix of zeros has axes of no length', () => {
  for (const axis of principalAxes(new Float64Array(64), 8)) expect(dot(axis, axis)).toBe(0)
})
