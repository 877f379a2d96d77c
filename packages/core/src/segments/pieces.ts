import {
  LEVEL_SCATTER_DB,
  MAX_PIECE_S,
  MIN_SEGMENT_S,
  PIECE_COST,
  SPEED_SCATTER,
  STEP_S,
} from './constants.js'
import type { Series } from './series.js'

/** A span in which speed and level each follow a straight line. */
export interface Piece {
  /** First point and one past the last, indices into the series. */
  readonly first: number
  readonly end: number
}

/**
 * Cuts a series into straight pieces: the cut with the least squared scatter plus a cost per piece.
 *
 * Optimal partitioning by dynamic programming over the natural logarithm of speed and the level in dB together, so a
 * closing throttle shows by its drop in level even where speed falls slowly. No piece is shorter than
 * `MIN_SEGMENT_S` unless the whole series is.
 *
 * @param series n evenly spaced points
 * @returns pieces in order that cover all points; none for an empty series
 * @remarks O(n · longest piece)
 * @see Jackson et al., "An algorithm for optimal partitioning of data on an interval", IEEE Signal Processing Letters
 *   12 (2005)
 */
export function straightPieces(series: Series): Piece[] {
  const n = series.logSpeed.length
  if (n === 0) return []
  const shortest = Math.round(MIN_SEGMENT_S / STEP_S)
  const longest = Math.round(MAX_PIECE_S / STEP_S)
  if (n < 2 * shortest) return [{ first: 0, end: n }]
  const speed = lineScatter(series.logSpeed, SPEED_SCATTER)
  const level = lineScatter(series.levelDb, LEVEL_SCATTER_DB)
  const best = new Float64Array(n + 1).fill(Number.POSITIVE_INFINITY)
  const from = new Int32Array(n + 1)
  best[0] = 0
  for (let end = shortest; end <= n; end++) {
    for (let first = Math.max(0, end - longest); first <= end - shortest; first++) {
      const cost = best[first]! + speed(first, end) + level(first, end) + PIECE_COST
      if (cost < best[end]!) {
        best[end] = cost
        from[end] = first
      }
    }
  }
  const pieces: Piece[] = []
  for (let end = n; end > 0; end = from[end]!) pieces.push({ first: from[end]!, end })
  return pieces.reverse()
}

/** Squared distance of the points `first … end` from their own best line, in units of `scatter` squared. */
function lineScatter(values: Float64Array, scatter: number): (first: number, end: number) => number {
  const n = values.length
  const sum = new Float64Array(n + 1)
  const sumT = new Float64Array(n + 1)
  const sumSquare = new Float64Array(n + 1)
  // About the middle value, so that differences of large sums stay exact.
  const centre = values[n >> 1]!
  for (let i = 0; i < n; i++) {
    const y = (values[i]! - centre) / scatter
    sum[i + 1] = sum[i]! + y
    sumT[i + 1] = sumT[i]! + i * y
    sumSquare[i + 1] = sumSquare[i]! + y * y
  }
  return (first, end) => {
    const m = end - first
    const meanT = (first + end - 1) / 2
    const total = sum[end]! - sum[first]!
    const along = sumT[end]! - sumT[first]! - meanT * total
    const spreadT = (m * (m * m - 1)) / 12
    const square = sumSquare[end]! - sumSquare[first]! - (total * total) / m
    return Math.max(0, spreadT > 0 ? square - (along * along) / spreadT : square)
  }
}
