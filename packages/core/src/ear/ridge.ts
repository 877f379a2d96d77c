import { choleskyFactor } from '../math/matrix.js'

/** What is added to the variance of every number, as a share of the mean variance, and whatever there is. Given by the model. */
const RIDGE = 0.1
const LEAST_RIDGE = 1e-6

/** Cholesky factor of sums of products, of which the lower half is read, with the ridge added. */
export function ridgedFactor(products: Float64Array, size: number): Float64Array {
  let trace = 0
  for (let i = 0; i < size; i++) trace += products[i * size + i]!
  const ridge = (RIDGE * trace) / size + LEAST_RIDGE
  const ridged = products.slice()
  for (let i = 0; i < size; i++) ridged[i * size + i]! += ridge
  return choleskyFactor(ridged, size)
}
