import { type Likeness, REACH } from './turnPictures.js'

/** Mean square of a turn's correlations with the turns within {@link REACH}, ends counting as 0. */
export function meanSquare({ ahead }: Likeness): Float32Array {
  const out = new Float32Array(ahead.length / REACH)
  forPairs(ahead, (n, other, likeness) => {
    out[n]! += likeness ** 2 / (2 * REACH)
    out[other]! += likeness ** 2 / (2 * REACH)
  })
  return out
}

/** What the turns like a turn have of something, less what the turns unlike it have: a weighted mean of `values`. */
export function gathered({ ahead }: Likeness, values: Float32Array): Float32Array {
  const sum = new Float64Array(values.length)
  const weight = new Float64Array(values.length).fill(1e-3)
  forPairs(ahead, (n, other, likeness) => {
    sum[n]! += likeness * values[other]!
    sum[other]! += likeness * values[n]!
    weight[n]! += Math.abs(likeness)
    weight[other]! += Math.abs(likeness)
  })
  return Float32Array.from(sum, (s, n) => s / weight[n]!)
}

/** How far every value stands from the mean of those within {@link REACH}, in their standard deviations. */
export function standing(values: Float32Array): Float32Array {
  const mean = nearBy(values)
  const off = values.map((value, n) => value - mean[n]!)
  const square = nearBy(off.map((x) => x * x))
  return off.map((x, n) => x / Math.sqrt(square[n]! + 1e-6))
}

/** Mean of the values within {@link REACH} of each. */
export function nearBy(values: Float32Array): Float32Array {
  const total = new Float64Array(values.length + 1)
  for (let n = 0; n < values.length; n++) total[n + 1] = total[n]! + values[n]!
  return values.map((_, n) => {
    const [first, end] = [Math.max(0, n - REACH), Math.min(values.length, n + REACH + 1)]
    return (total[end]! - total[first]!) / (end - first)
  })
}

function forPairs(ahead: Float32Array, each: (n: number, other: number, likeness: number) => void): void {
  const turns = ahead.length / REACH
  for (let n = 0; n < turns; n++)
    for (let lag = 1; lag <= REACH && n + lag < turns; lag++) each(n, n + lag, ahead[n * REACH + lag - 1]!)
}
