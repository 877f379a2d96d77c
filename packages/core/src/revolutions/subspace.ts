import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
import { dot } from '../math/dot.js'

/** Rounds of iteration: directions that hold little more than the next one need not be told apart. */
const ROUNDS = 15

/** A symmetric matrix as 32-bit floats; rows are `step` apart, a multiple of 8, with zeros behind. */
export interface PaddedMatrix {
  readonly size: number
  readonly step: number
  readonly values: Float32Array
}

/** A matrix of zeros. */
export function paddedMatrix(size: number): PaddedMatrix {
  const step = (size + 7) & -8
  return { size, step, values: new Float32Array(size * step) }
}

/**
 * The leading eigenvectors of a symmetric non-negative definite matrix, about in order; unit length, or zeros where the
 * matrix has fewer.
 *
 * @see Golub & Van Loan, *Matrix Computations* (4th ed. 2013), 8.2.4: orthogonal iteration
 */
export function leadingSubspace({ size, step, values }: PaddedMatrix, count: number): Float64Array[] {
  const layout = makeLayout()
  const matrix = layout.take(values.length)
  const input = layout.take(step)
  const output = layout.take(step)
  const kernels = borrowKernels(layout.total())
  kernels.floats.set(values, matrix)
  // Starts that no engine repeats: sines at multiples of the golden angle.
  const vectors = Array.from({ length: count }, (_, c) =>
    Float64Array.from({ length: size }, (_v, i) => Math.sin((i + 1) * (c + 1) * 2.399963)),
  )
  for (let round = 0; round < ROUNDS; round++) {
    for (const vector of vectors) {
      kernels.floats.fill(0, input, input + step)
      kernels.floats.set(vector, input)
      kernels.dotRows(input, matrix, step, size, step, output)
      vector.set(kernels.floats.subarray(output, output + size))
    }
    orthonormalise(vectors)
  }
  return vectors
}

function orthonormalise(vectors: readonly Float64Array[]): void {
  vectors.forEach((vector, c) => {
    for (let b = 0; b < c; b++) {
      const share = dot(vector, vectors[b]!)
      for (let i = 0; i < vector.length; i++) vector[i] = vector[i]! - share * vectors[b]![i]!
    }
    const length = Math.sqrt(dot(vector, vector))
    for (let i = 0; i < vector.length; i++) vector[i] = length > 0 ? vector[i]! / length : 0
  })
}
