import type { BandedGram } from '../turns/vectors.js'

/** Turns in a window of state evidence and turns between windows; states may last only about 20 turns. */
export const WINDOW_TURNS = 24
export const WINDOW_HOP = 4
const ITERATIONS = 30

/** What one window of turns says about the kind of running. */
export interface WindowEvidence {
  readonly firstTurn: number
  readonly turns: number
  /** Leading component: how much each turn is of one kind or the other, unit length, sign free. */
  readonly component: Float64Array
  /** Share of all turn-to-turn difference that lies in the leading component, 0–1. */
  readonly share: number
  /** Share of the component explained by a period of 2, 3 and 4 turns, 0–1. */
  readonly fold2: number
  readonly fold3: number
  readonly fold4: number
  /** Correlation of the component with itself one turn later. */
  readonly lag1: number
}

/** State evidence from the leading component of the similarity of turns, window by window. */
export function windowEvidence(gram: BandedGram): WindowEvidence[] {
  const out: WindowEvidence[] = []
  const { turns } = gram
  if (turns < 6) return out
  const size = Math.min(WINDOW_TURNS, turns)
  for (let first = 0; first <= turns - size; first += WINDOW_HOP) {
    out.push(oneWindow(gram, first, size))
    if (first < turns - size && first + WINDOW_HOP > turns - size) out.push(oneWindow(gram, turns - size, size))
  }
  return out
}

function oneWindow(gram: BandedGram, first: number, size: number): WindowEvidence {
  const matrix = new Float64Array(size * size)
  let trace = 0
  for (let i = 0; i < size; i++) {
    for (let j = i; j < size; j++) {
      const value = gram.values[(first + i) * gram.lags + (j - i)]!
      matrix[i * size + j] = value
      matrix[j * size + i] = value
    }
    trace += matrix[i * size + i]!
  }
  const { vector, value } = leadingEigenvector(matrix, size)
  return {
    firstTurn: first,
    turns: size,
    component: vector,
    share: trace > 0 ? value / trace : 0,
    fold2: foldShare(vector, 2),
    fold3: foldShare(vector, 3),
    fold4: foldShare(vector, 4),
    lag1: lagCorrelation(vector, 1),
  }
}

function leadingEigenvector(matrix: Float64Array, size: number): { vector: Float64Array; value: number } {
  // Start from the column with the largest diagonal: never orthogonal to the leading vector in practice.
  let start = 0
  for (let i = 1; i < size; i++) if (matrix[i * size + i]! > matrix[start * size + start]!) start = i
  let vector = Float64Array.from({ length: size }, (_, i) => matrix[start * size + i]! + (i % 2 ? -1e-6 : 1e-6))
  let value = 0
  for (let k = 0; k < ITERATIONS; k++) {
    const next = new Float64Array(size)
    for (let i = 0; i < size; i++) {
      let sum = 0
      for (let j = 0; j < size; j++) sum += matrix[i * size + j]! * vector[j]!
      next[i] = sum
    }
    const norm = Math.hypot(...next)
    if (norm < 1e-15) break
    value = norm / Math.hypot(...vector)
    for (let i = 0; i < size; i++) next[i] = next[i]! / norm
    vector = next
  }
  return { vector, value }
}

/** Share of a component's energy that its mean over every k-th turn explains, less what chance would explain. */
function foldShare(x: Float64Array, period: number): number {
  let energy = 0
  let mean = 0
  for (const v of x) mean += v / x.length
  for (const v of x) energy += (v - mean) ** 2
  if (energy <= 0) return 0
  let explained = 0
  for (let phase = 0; phase < period; phase++) {
    let sum = 0
    let count = 0
    for (let n = phase; n < x.length; n += period) {
      sum += x[n]! - mean
      count++
    }
    if (count > 0) explained += (sum * sum) / count
  }
  const chance = (period - 1) / Math.max(1, x.length - 1)
  return Math.max(0, (explained / energy - chance) / (1 - chance))
}

export function lagCorrelation(x: ArrayLike<number>, lag: number): number {
  let product = 0
  let energy = 0
  for (let n = 0; n < x.length; n++) energy += x[n]! ** 2
  for (let n = 0; n + lag < x.length; n++) product += x[n]! * x[n + lag]!
  return energy > 0 ? (product / energy) * (x.length / Math.max(1, x.length - lag)) : 0
}
