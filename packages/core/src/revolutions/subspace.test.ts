import { describe, expect, it } from 'vitest'
import { leadingSubspace, type PaddedMatrix, paddedMatrix } from './subspace.js'

const SIZE = 48
const unit = (v: readonly number[]): number[] => v.map((x) => x / Math.hypot(...v))
const product = (a: ArrayLike<number>, b: ArrayLike<number>): number =>
  Array.from(a).reduce((sum, x, i) => sum + x * b[i]!, 0)

/** Directions of falling strength in even noise. */
function planted(directions: readonly number[][]): PaddedMatrix {
  const matrix = paddedMatrix(SIZE)
  for (let i = 0; i < SIZE; i++)
    for (let j = 0; j < SIZE; j++)
      matrix.values[i * matrix.step + j] =
        directions.reduce((sum, v, c) => sum + (directions.length - c) * v[i]! * v[j]!, 0) +
        (i === j ? 0.05 : 0)
  return matrix
}

describe('leadingSubspace', () => {
  const directions = [2, 3, 5].map((period) =>
    unit(Array.from({ length: SIZE }, (_, i) => (i % period === 0 ? 1 : 0))),
  )
  it('spans the planted directions with orthogonal vectors of unit length', () => {
    const vectors = leadingSubspace(planted(directions), 3)
    vectors.forEach((a, i) => {
      vectors.forEach((b, k) => {
        expect(product(a, b)).toBeCloseTo(i === k ? 1 : 0, 6)
      })
    })
    for (const v of directions)
      expect(vectors.reduce((sum, vector) => sum + product(vector, v) ** 2, 0)).toBeCloseTo(1, 5)
  })
  it('solves a matrix of two by hand: [[2, 1], [1, 2]] has (1, 1) before (1, −1)', () => {
    const matrix = paddedMatrix(2)
    matrix.values.set([2, 1], 0)
    matrix.values.set([1, 2], matrix.step)
    const [first, second] = leadingSubspace(matrix, 2)
    expect(Math.abs(product(first!, unit([1, 1])))).toBeCloseTo(1, 6)
    expect(Math.abs(product(second!, unit([1, -1])))).toBeCloseTo(1, 6)
  })
  it('gives zeros for a matrix of zeros', () => {
    for (const v of leadingSubspace(paddedMatrix(4), 2)) expect([...v]).toEqual([0, 0, 0, 0])
  })
})
