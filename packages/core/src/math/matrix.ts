/** Sum of the products of two columns of equal length. */
export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let n = 0; n < a.length; n++) sum += a[n]! * b[n]!
  return sum
}

/** A square matrix, row by row, times a vector, in `out`. */
export function multiplied(
  matrix: Float64Array,
  vector: Float64Array,
  out = new Float64Array(vector.length),
): Float64Array {
  for (let i = 0, at = 0; i < vector.length; i++) {
    let sum = 0
    for (let j = 0; j < vector.length; j++, at++) sum += matrix[at]! * vector[j]!
    out[i] = sum
  }
  return out
}

/** Cholesky factor of a symmetric positive matrix, row by row, of which the lower half is read. */
export function choleskyFactor(matrix: Float64Array, size: number): Float64Array {
  const factor = matrix.slice()
  for (let i = 0; i < size; i++)
    for (let j = 0; j <= i; j++) {
      let rest = factor[i * size + j]!
      for (let k = 0; k < j; k++) rest -= factor[i * size + k]! * factor[j * size + k]!
      factor[i * size + j] = i === j ? Math.sqrt(rest) : rest / factor[j * size + j]!
    }
  return factor
}

/** Solution of a system of equations by its Cholesky factor: forward, then back. */
export function solved(factor: Float64Array, right: Float64Array): Float64Array {
  const x = right.slice()
  const size = x.length
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < i; k++) x[i]! -= factor[i * size + k]! * x[k]!
    x[i]! /= factor[i * size + i]!
  }
  for (let i = size - 1; i >= 0; i--) {
    for (let k = i + 1; k < size; k++) x[i]! -= factor[k * size + i]! * x[k]!
    x[i]! /= factor[i * size + i]!
  }
  return x
}
