import type { Kernels } from '../kernels/index.js'
import type { Layout } from '../kernels/layout.js'
import { dot } from '../math/dot.js'

/** Power iteration stops here; the leading eigenvalue of two kinds of turn stands well clear of the rest. */
const ITERATIONS = 30
/** Or when no element moves by more than this. */
const SETTLED = 1e-8
/** Or when the matrix takes away all of the vector. */
const NOTHING = 1e-15

/** A matrix in the memory of the kernels, and room beside it. */
export interface EigenProblem {
  readonly size: number
  /** Row by row, symmetric and non-negative definite; to be filled. */
  readonly matrix: Float64Array
  /**
   * Leading eigenvector (unit length) and eigenvalue.
   *
   * @param guess vector to start near, where one is known: saves steps, does not change the answer
   */
  solve(guess?: Float64Array): { vector: Float64Array; value: number }
}

/**
 * @param layout memory is taken from it now and used once the kernels are there
 * @returns what makes the problem, given the kernels
 */
export function eigenProblem(size: number, layout: Layout): (kernels: Kernels) => EigenProblem {
  const matrixAt = layout.take(2 * (size * size + 1))
  const vectorAt = layout.take(2 * (size + 1))
  const spare = layout.take(2 * (size + 1))
  return (kernels) => {
    const { doubles } = kernels
    const matrix = doubles.subarray(matrixAt / 2, matrixAt / 2 + size * size)
    const vector = doubles.subarray(vectorAt / 2, vectorAt / 2 + size)
    const solve: EigenProblem['solve'] = (guess) => {
      // Start from the column with the largest diagonal, with a touch of alternation: hardly ever orthogonal.
      let start = 0
      for (let i = 1; i < size; i++) if (matrix[i * size + i]! > matrix[start * size + start]!) start = i
      for (let i = 0; i < size; i++) vector[i] = matrix[start * size + i]! + (i % 2 ? -1e-6 : 1e-6)
      if (guess) lean(vector, guess)
      const value = kernels.powerSteps(matrixAt, size, vectorAt, spare, ITERATIONS, SETTLED, NOTHING)
      return { vector: vector.slice(), value }
    }
    return { size, matrix, solve }
  }
}

/** A tenth of the vector, at unit length, and all of the guess, the same way up. */
function lean(vector: Float64Array, guess: Float64Array): void {
  const length = Math.sqrt(dot(vector, vector))
  if (length > 0) for (let i = 0; i < vector.length; i++) vector[i] = vector[i]! / length
  const sign = dot(vector, guess) < 0 ? -1 : 1
  for (let i = 0; i < vector.length; i++) vector[i] = 0.1 * vector[i]! + sign * guess[i]!
}
