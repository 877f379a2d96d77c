/**
 * Moving mean of what is not negative.
 *
 * @param values length n, >= 0
 * @param span   most values to a mean, > 0: those from k − ⌊span / 2⌋ on that exist
 * @returns length n
 */
export function smoothSteps(values: Float32Array, span: number): Float32Array {
  const total = new Float64Array(values.length + 1)
  for (let k = 0; k < values.length; k++) total[k + 1] = total[k]! + values[k]!
  const before = Math.floor(span / 2)
  return values.map((_, k) => {
    const first = Math.max(0, k - before)
    const end = Math.min(values.length, k + span - before)
    return Math.max(0, (total[end]! - total[first]!) / (end - first))
  })
}
