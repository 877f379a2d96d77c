import { spanMean } from '../math/stats.js'
import { type Likeness, REACH } from './turnWaveforms.js'

/** What is added to the sum of weights, so that a turn without likes is told nothing. Given by the model. */
const LEAST_SUM = 1e-3

/** What the turns like a turn have of something, less what the turns unlike it have: a weighted mean of `values`. */
export function gathered({ ahead, sum }: Likeness, values: Float32Array): Float32Array {
  const turns = values.length
  const out = new Float32Array(turns)
  for (let n = 0; n < turns; n++) {
    let own = out[n]!
    for (let lag = 1; lag <= REACH && n + lag < turns; lag++) {
      const likeness = ahead[n * REACH + lag - 1]!
      own += likeness * values[n + lag]!
      out[n + lag]! += likeness * values[n]!
    }
    out[n] = own / (sum[n]! + LEAST_SUM)
  }
  return out
}

/** How far every value stands from the mean of those within {@link REACH}, in their standard deviations. */
export function deviationsOf(values: Float32Array): Float32Array {
  const mean = nearBy(values)
  const off = values.map((value, n) => value - mean[n]!)
  const square = nearBy(off.map((x) => x * x))
  return off.map((x, n) => x / Math.sqrt(square[n]! + 1e-6))
}

/** Mean of the values within {@link REACH} of each. */
function nearBy(values: Float32Array): Float32Array {
  return new Float32Array(spanMean(values, 2 * REACH + 1))
}
