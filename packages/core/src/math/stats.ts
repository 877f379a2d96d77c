/** 1 / Φ⁻¹(3/4): turns a median absolute deviation into a standard deviation for Gaussian data. Derived. */
export const MAD_TO_SD = 1.4826

/** Φ⁻¹(0.975): half-width of a two-sided 95 % interval in standard deviations. Derived. */
export const Z95 = 1.959964

/** Arithmetic mean; NaN for an empty list. */
export function mean(values: ArrayLike<number>): number {
  let sum = 0
  for (let i = 0; i < values.length; i++) sum += values[i]!
  return sum / values.length
}

/** Quantile of a list already in rising order, 0 <= q <= 1, linear between order statistics; NaN for an empty list. */
function sortedQuantile(sorted: ArrayLike<number>, q: number): number {
  if (sorted.length === 0) return Number.NaN
  const position = q * (sorted.length - 1)
  const below = Math.floor(position)
  const above = Math.min(below + 1, sorted.length - 1)
  return sorted[below]! + (position - below) * (sorted[above]! - sorted[below]!)
}

/**
 * Quantile of a list in any order; the list stays as it is.
 *
 * @param values length n, finite
 * @param q 0–1
 * @returns linear between order statistics; NaN for an empty list
 * @see Hyndman & Fan, "Sample Quantiles in Statistical Packages", The American Statistician 50 (1996), type 7
 * @example quantile([4, 1, 3, 2], 0.5) // 2.5
 */
export function quantile(values: ArrayLike<number>, q: number): number {
  return sortedQuantile(Float64Array.from(values).sort(), q)
}

/** Median; NaN for an empty list. */
export function median(values: ArrayLike<number>): number {
  return quantile(values, 0.5)
}

/** Median absolute deviation from the median, not scaled (see {@link MAD_TO_SD}); NaN for an empty list. */
export function mad(values: ArrayLike<number>): number {
  const centre = median(values)
  return median(Float64Array.from(values, (value) => Math.abs(value - centre)))
}

/**
 * Centred moving mean over `2 half + 1` values; near the ends over as many as there are on both sides alike,
 * so that a straight line comes back unchanged.
 *
 * @param values length n
 * @param half values on each side, >= 0
 * @returns length n
 */
export function movingMean(values: ArrayLike<number>, half: number): Float64Array {
  const n = values.length
  const sums = runningSums(values)
  return Float64Array.from({ length: n }, (_, i) => {
    const h = Math.min(half, i, n - 1 - i)
    return (sums[i + h + 1]! - sums[i - h]!) / (2 * h + 1)
  })
}

/**
 * Mean over the `span` values about each, from i − ⌊span / 2⌋ on; near the ends over those of them that exist.
 *
 * @param values length n
 * @param span   >= 1
 * @returns length n; nothing below 0 where no value is
 */
export function spanMean(values: ArrayLike<number>, span: number): Float64Array {
  const sums = runningSums(values)
  const means = new Float64Array(values.length)
  for (let i = 0; i < means.length; i++) {
    const from = i - Math.floor(span / 2)
    const [first, end] = [Math.max(0, from), Math.min(means.length, from + span)]
    means[i] = (sums[end]! - sums[first]!) / (end - first)
  }
  return means
}

/** Sums of the values before each, and of all. */
function runningSums(values: ArrayLike<number>): Float64Array {
  const sums = new Float64Array(values.length + 1)
  for (let i = 0; i < values.length; i++) sums[i + 1] = sums[i]! + values[i]!
  return sums
}

/** Centred moving median over `2 half + 1` values, fewer near the ends (both sides alike). O(n · half log half). */
export function movingMedian(values: ArrayLike<number>, half: number): Float64Array {
  const n = values.length
  const all = Float64Array.from(values)
  return Float64Array.from({ length: n }, (_, i) => {
    const h = Math.min(half, i, n - 1 - i)
    return sortedQuantile(all.slice(i - h, i + h + 1).sort(), 0.5)
  })
}

/** 1 / (1 + e^−x): log odds to probability. */
export function logistic(x: number): number {
  return 1 / (1 + Math.exp(-x))
}

/** `value` held between `low` and `high`. */
export function clamp(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value))
}
