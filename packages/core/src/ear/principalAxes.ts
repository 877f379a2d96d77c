import { dot, multiplied } from '../math/matrix.js'

/** Axes that are found, and rounds in which they are. Given by the model. */
const AXES = 6
const ROUNDS = 12

/**
 * The strongest principal axes of a symmetric matrix, nearly, by orthogonal iteration (Golub and Van Loan, Matrix Computations,
 * section 8.2).
 *
 * @param products `size` numbers a row, row by row
 * @returns six vectors of length 1, or 0 where there are fewer axes, at right angles to one another, the strongest first
 */
export function principalAxes(products: Float64Array, size: number): Float64Array[] {
  let axes: Float64Array[] = Array.from({ length: AXES }, (_, k) => products.slice(k * size, (k + 1) * size))
  for (let round = 0; round < ROUNDS; round++)
    axes = orthogonal(axes.map((axis) => multiplied(products, axis, new Float64Array(size))))
  return axes
}

/** Each less what the ones before hold of it, brought to length 1; what is nothing then stays nothing. */
function orthogonal(vectors: readonly Float64Array[]): Float64Array[] {
  const out: Float64Array[] = []
  for (const vector of vectors) {
    const rest = vector.slice()
    for (const axis of out) {
      const share = dot(axis, rest)
      for (let i = 0; i < rest.length; i++) rest[i]! -= share * axis[i]!
    }
    const length = Math.sqrt(dot(rest, rest))
    out.push(rest.map((x) => (length > 0 ? x / length : 0)))
  }
  return out
}
