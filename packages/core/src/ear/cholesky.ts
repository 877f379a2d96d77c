/** What is added to the variance of every number, as a share of the mean variance, and whatever there is. Given by the model. */
const RIDGE = 0.1
const LEAST_RIDGE = 1e-6

/** Cholesky factor of a symmetric matrix, of which the lower half is read, with the ridge added. */
export function factorOf(products: Float64Array, size: number): Float64Array {
  let trace = 0
  for (let i = 0; i < size; i++) trace += products[i * size + i]!
  const ridge = (RIDGE * trace) / size + LEAST_RIDGE
  const factor = products.slice()
  for (let i = 0; i < size; i++) factor[i * size + i]! += ridge
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
