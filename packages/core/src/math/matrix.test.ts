import { describe, expect, it } from 'vitest'
import { choleskyFactor, dot, multiplied, solved } from './matrix.js'

describe('Cholesky factor', () => {
  // The worked example of most introductions, from memory: its factor is all whole numbers.
  const matrix = Float64Array.of(4, 12, -16, 12, 37, -43, -16, -43, 98)
  const factor = choleskyFactor(matrix, 3)

  it('is the one of the worked example', () => {
    const lower = Array.from(factor).map((x, at) => (at % 3 > Math.floor(at / 3) ? 0 : x))
    expect(lower).toEqual([2, 0, 0, 6, 1, 0, -8, 5, 3])
  })
  it('solves what the matrix made of a vector', () => {
    const x = Float64Array.of(3, -1, 2)
    expect(Array.from(solved(factor, multiplied(matrix, x)))).toEqual([3, -1, 2])
  })
  it('leaves what it is given as it was', () => {
    const right = Float64Array.of(1, 2, 3)
    solved(factor, right)
    expect(Array.from(right)).toEqual([1, 2, 3])
    expect(matrix[0]).toBe(4)
  })
})

it('a matrix times a vector is the products of its rows with it', () => {
  const vector = Float64Array.of(2, -3)
  const rows = [Float64Array.of(1, 4), Float64Array.of(-5, 0.5)]
  const matrix = Float64Array.from(rows.flatMap((row) => [...row]))
  expect(Array.from(multiplied(matrix, vector))).toEqual(rows.map((row) => dot(row, vector)))
})
