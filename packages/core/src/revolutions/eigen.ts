/** Power iteration stops here; the leading eigenvalue of two kinds of turn stands well clear of the rest. */
const ITERATIONS = 30
/** Or when no element moves by more than this. */
const SETTLED = 1e-8

/**
 * Leading eigenvector (unit length) and eigenvalue of a symmetric non-negative definite matrix, row by row.
 *
 * @param guess vector to start near, where one is known: saves steps, does not change the answer
 */
export function leadingEigenvector(
  matrix: Float64Array,
  size: number,
  guess?: Float64Array,
): { vector: Float64Array; value: number } {
  // Start from the column with the largest diagonal, with a touch of alternation: hardly ever orthogonal.
  let start = 0
  for (let i = 1; i < size; i++) if (matrix[i * size + i]! > matrix[start * size + start]!) start = i
  let vector = Float64Array.from(
    { length: size },
    (_, i) => matrix[start * size + i]! + (i % 2 ? -1e-6 : 1e-6),
  )
  if (guess) {
    normalise(vector)
    const sign = dot(vector, guess) < 0 ? -1 : 1
    for (let i = 0; i < size; i++) vector[i] = 0.1 * vector[i]! + sign * guess[i]!
  }
  let next = new Float64Array(size)
  let value = 0
  normalise(vector)
  for (let k = 0; k < ITERATIONS; k++) {
    multiply(matrix, vector, next)
    value = normalise(next)
    if (value < 1e-15) break
    let moved = 0
    for (let i = 0; i < size; i++) moved = Math.max(moved, Math.abs(next[i]! - vector[i]!))
    const spare = vector
    vector = next
    next = spare
    if (moved < SETTLED) break
  }
  return { vector, value }
}

/** out = matrix · vector, two rows at a time: the processor adds up both at once. */
function multiply(matrix: Float64Array, vector: Float64Array, out: Float64Array): void {
  const size = vector.length
  let i = 0
  for (; i + 1 < size; i += 2) {
    let first = 0
    let second = 0
    for (let j = 0, k = i * size; j < size; j++, k++) {
      first += matrix[k]! * vector[j]!
      second += matrix[k + size]! * vector[j]!
    }
    out[i] = first
    out[i + 1] = second
  }
  for (; i < size; i++) {
    let sum = 0
    for (let j = 0; j < size; j++) sum += matrix[i * size + j]! * vector[j]!
    out[i] = sum
  }
}

function normalise(x: Float64Array): number {
  let energy = 0
  for (let i = 0; i < x.length; i++) energy += x[i]! * x[i]!
  const length = Math.sqrt(energy)
  if (length > 0) for (let i = 0; i < x.length; i++) x[i] = x[i]! / length
  return length
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!
  return sum
}
