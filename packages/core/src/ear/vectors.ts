/** Sum of the products of two columns of equal length. */
export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let n = 0; n < a.length; n++) sum += a[n]! * b[n]!
  return sum
}

/** A square matrix, row by row, times a vector, in `out`. */
export function multiplied(matrix: Float64Array, vector: Float64Array, out: Float64Array): Float64Array {
  for (let i = 0, at = 0; i < vector.length; i++) {
    let sum = 0
    for (let j = 0; j < vector.length; j++, at++) sum += matrix[at]! * vector[j]!
    out[i] = sum
  }
  return out
}

/** Puts a column, or one number for all, into its place of every row of `width` numbers. */
export function putColumn(
  column: ArrayLike<number> | number,
  rows: Float32Array,
  width: number,
  place: number,
): void {
  const single = typeof column === 'number'
  for (let n = 0, at = place; at < rows.length; n++, at += width) rows[at] = single ? column : column[n]!
}
