import {
  COASTING_SCATTER,
  CUT_STEPS,
  LEVEL_SCATTER_DB,
  MAX_PART_S,
  MIN_SEGMENT_S,
  PART_COST,
  SPEED_SCATTER,
  STEP_S,
} from './constants.js'
import type { Series } from './series.js'

/** A span in which speed, level and the chance of a closed throttle each follow a straight line. */
export interface StraightPart {
  /** First point and one past the last, indices into the series. */
  readonly first: number
  readonly end: number
}

/**
 * Cuts a series into straight parts: the cut with the least squared scatter plus a cost per part.
 *
 * Optimal partitioning by dynamic programming over the natural logarithm of speed, the level in dB and the chance of a
 * closed throttle together, so a closing throttle shows even where speed falls slowly. No part is shorter than
 * `MIN_SEGMENT_S` unless the whole series is.
 *
 * @param series n evenly spaced points
 * @returns parts in order that cover all points; none for an empty series
 * @remarks O(n · longest part)
 * @see Jackson et al., "An algorithm for optimal partitioning of data on an interval", IEEE Signal Processing Letters
 *   12 (2005)
 */
export function straightParts(series: Series): StraightPart[] {
  const n = series.logSpeed.length
  if (n === 0) return []
  const shortest = Math.round(MIN_SEGMENT_S / STEP_S)
  const longest = Math.round(MAX_PART_S / STEP_S)
  if (n < 2 * shortest) return [{ first: 0, end: n }]
  const lines = [
    lineSums(series.logSpeed, SPEED_SCATTER),
    lineSums(series.levelDb, LEVEL_SCATTER_DB),
    lineSums(series.coasting, COASTING_SCATTER),
  ]
  const best = new Float64Array(n + 1).fill(Number.POSITIVE_INFINITY)
  const from = new Int32Array(n + 1)
  best[0] = 0
  for (let end = shortest; end <= n; end++) {
    if (end % CUT_STEPS !== 0 && end !== n) continue
    const earliest = Math.max(0, end - longest)
    for (let first = earliest + (earliest % CUT_STEPS); first <= end - shortest; first += CUT_STEPS) {
      let cost = best[first]! + PART_COST
      for (let k = 0; k < lines.length && cost < best[end]!; k++) cost += scatterOf(lines[k]!, first, end)
      if (cost < best[end]!) {
        best[end] = cost
        from[end] = first
      }
    }
  }
  const parts: StraightPart[] = []
  for (let end = n; end > 0; end = from[end]!) parts.push({ first: from[end]!, end })
  return parts.reverse()
}

/** Running sums of a series in units of its scatter: of its values, of place times value, and of squares. */
interface LineSums {
  readonly sum: Float64Array
  readonly along: Float64Array
  readonly square: Float64Array
}

function lineSums(values: Float64Array, scatter: number): LineSums {
  const n = values.length
  const sums = {
    sum: new Float64Array(n + 1),
    along: new Float64Array(n + 1),
    square: new Float64Array(n + 1),
  }
  // About the middle value, so that differences of large sums stay exact.
  const centre = values[n >> 1]!
  for (let i = 0; i < n; i++) {
    const y = (values[i]! - centre) / scatter
    sums.sum[i + 1] = sums.sum[i]! + y
    sums.along[i + 1] = sums.along[i]! + i * y
    sums.square[i + 1] = sums.square[i]! + y * y
  }
  return sums
}

/** Squared distance of the points `first … end` from their own best line, in units of scatter squared. */
function scatterOf({ sum, along, square }: LineSums, first: number, end: number): number {
  const m = end - first
  const total = sum[end]! - sum[first]!
  const slope = along[end]! - along[first]! - ((first + end - 1) / 2) * total
  const spread = (m * (m * m - 1)) / 12
  const rest = square[end]! - square[first]! - (total * total) / m
  return Math.max(0, spread > 0 ? rest - (slope * slope) / spread : rest)
}
