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
