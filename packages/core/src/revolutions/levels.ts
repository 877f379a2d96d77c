/** Local description of a series that takes two levels: kind 0 (low) and kind 1 (high). */
export interface TwoLevels {
  readonly low: Float64Array
  readonly high: Float64Array
  /** Spread within a kind. */
  readonly spread: Float64Array
}

/** Smallest spread believed, as a share of the distance of the levels. */
const LEAST_SPREAD = 0.12
/** Turns between places where the levels are found anew. */
const STEP = 4

/** Splits the values within ±`reach` turns into the two groups of least spread, everywhere along a series. */
export function twoLevels(x: Float64Array, reach: number): TwoLevels {
  const n = x.length
  const low = new Float64Array(n)
  const high = new Float64Array(n)
  const spread = new Float64Array(n)
  for (let k = 0; k < n; k += STEP) {
    const from = Math.max(0, k - reach)
    const split = bestSplit(x.slice(from, Math.min(n, k + reach + 1)))
    for (let i = k; i < Math.min(n, k + STEP); i++) {
      low[i] = split.low
      high[i] = split.high
      spread[i] = split.spread
    }
  }
  return { low, high, spread }
}

function bestSplit(values: Float64Array): { low: number; high: number; spread: number } {
  values.sort()
  const n = values.length
  let totalSum = 0
  let totalSquare = 0
  for (let k = 0; k < n; k++) {
    totalSum += values[k]!
    totalSquare += values[k]! * values[k]!
  }
  const fewest = Math.max(2, Math.floor(n * 0.08))
  let best = { low: values[0] ?? 0, high: values[n - 1] ?? 0, spread: 1 }
  let bestWithin = Infinity
  let sum = 0
  for (let k = 0; k < n - fewest; k++) {
    sum += values[k]!
    const count = k + 1
    if (count < fewest) continue
    const within = totalSquare - (sum * sum) / count - (totalSum - sum) ** 2 / (n - count)
    if (within < bestWithin) {
      bestWithin = within
      const low = sum / count
      const high = (totalSum - sum) / (n - count)
      best = {
        low,
        high,
        spread: Math.max(Math.sqrt(Math.max(0, within) / n), LEAST_SPREAD * (high - low), 1e-6),
      }
    }
  }
  return best
}
