import { TURN_BANDS, WAVE_BANDS } from '../bands/constants.js'
import type { BandedGram, ResidualBand } from '../turns/vectors.js'
import { leadingEigenvector } from './eigen.js'

/** Turns in a window of state evidence and turns between windows; states may last only about 20 turns. */
export const WINDOW_TURNS = 24
export const WINDOW_HOP = 4
/** Weight a band keeps when it agrees with no other, as a share of full agreement. */
const LONE_WEIGHT = 0.05

/** What one window of turns says about the kind of running. */
export interface WindowEvidence {
  readonly firstTurn: number
  readonly turns: number
  /** Leading component: how much each turn is of one kind or the other, unit length, sign free. */
  readonly component: Float64Array
  /** Share of all turn-to-turn difference that lies in the leading component, 0–1. */
  readonly share: number
  /** Share of the component explained by a period of 2, 3 and 4 turns, 0–1. */
  readonly folds: readonly [number, number, number]
  /** Correlation of the component with itself one turn later. */
  readonly lag1: number
  /** Energy of the component against the mean turn, dB, per band in the order of TURN_BANDS. */
  readonly depthDb: Float64Array
  /** How far low (below 600 Hz) and high bands tell the turns apart in the same way, −1…1: split-half reliability. */
  readonly agreement: number
}

/** Bands of the two halves: they share no sound but that around 500 to 600 Hz. */
const LOW_HALF = [0, 1, 3]
const HIGH_HALF = [2, 5, 6, 7]

/**
 * State evidence from the similarity of turns, window by window.
 *
 * Bands count by how well their picture of the window agrees with that of the others: two kinds of turn show in
 * every band at the same turns, gusts and rattles do not.
 */
export function windowEvidence(
  grams: readonly BandedGram[],
  residuals: readonly ResidualBand[],
): WindowEvidence[] {
  const { turns } = grams[0]!
  if (turns < 6) return []
  const size = Math.min(WINDOW_TURNS, turns)
  const out: WindowEvidence[] = []
  const take = (first: number): void => {
    const before = out.at(-1)
    out.push(oneWindow(grams, residuals, first, size, before && shifted(before, first)))
  }
  for (let first = 0; first <= turns - size; first += WINDOW_HOP) take(first)
  const last = turns - size
  if (last % WINDOW_HOP !== 0) take(last)
  return out
}

/** The component of a window as far as a later one shares its turns. */
function shifted({ component, firstTurn }: WindowEvidence, first: number): Float64Array {
  return component.map((_, i) => component[i + first - firstTurn] ?? 0)
}

function oneWindow(
  grams: readonly BandedGram[],
  residuals: readonly ResidualBand[],
  first: number,
  size: number,
  guess: Float64Array | undefined,
): WindowEvidence {
  const matrices = grams.map((g) => windowMatrix(g, first, size))
  const total = weightedSum(matrices, BAND_WEIGHTS)
  const rest = new Float64Array(total.length)
  const weights = BAND_WEIGHTS.map((weight, i) => {
    const own = matrices[i]!
    for (let k = 0; k < rest.length; k++) rest[k] = total[k]! - weight * own[k]!
    return weight * Math.max(LONE_WEIGHT, alikeOffDiagonal(own, rest, size))
  })
  const joint = weightedSum(matrices, weights)
  const { vector, value } = leadingEigenvector(unpacked(joint, size), size, guess)
  let trace = 0
  for (let i = 0; i < size; i++) trace += joint[i]!
  const half = (use: readonly number[]) =>
    weightedSum(
      use.map((i) => matrices[i]!),
      use.map((i) => weights[i]!),
    )
  return {
    firstTurn: first,
    turns: size,
    component: vector,
    share: trace > 0 ? value / trace : 0,
    folds: [foldShare(vector, 2), foldShare(vector, 3), foldShare(vector, 4)],
    lag1: lagCorrelation(vector, 1),
    depthDb: Float64Array.from(matrices, (m, i) => depthDb(m, vector, residuals[i]!, first, size)),
    agreement: alikeOffDiagonal(half(LOW_HALF), half(HIGH_HALF), size),
  }
}

const BAND_WEIGHTS: readonly number[] = TURN_BANDS.map((b) => b.weight)

/**
 * The part of a window's symmetric Gram matrix, normalised to unit trace and packed: the diagonal first, then the
 * first diagonal above it, and so on.
 */
function windowMatrix(gram: BandedGram, first: number, size: number): Float64Array {
  const packed = new Float64Array((size * (size + 1)) / 2)
  let trace = 1e-12
  for (let i = 0; i < size; i++) trace += gram.values[(first + i) * gram.lags]!
  let k = 0
  for (let lag = 0; lag < size; lag++) {
    for (let i = 0; i + lag < size; i++, k++) packed[k] = gram.values[(first + i) * gram.lags + lag]! / trace
  }
  return packed
}

function unpacked(packed: Float64Array, size: number): Float64Array {
  const matrix = new Float64Array(size * size)
  let k = 0
  for (let lag = 0; lag < size; lag++) {
    for (let i = 0; i + lag < size; i++, k++) {
      matrix[i * size + i + lag] = packed[k]!
      matrix[(i + lag) * size + i] = packed[k]!
    }
  }
  return matrix
}

function weightedSum(matrices: readonly Float64Array[], weights: readonly number[]): Float64Array {
  const out = new Float64Array(matrices[0]!.length)
  for (let m = 0; m < matrices.length; m++) {
    const matrix = matrices[m]!
    const w = weights[m]!
    for (let k = 0; k < out.length; k++) out[k] = out[k]! + w * matrix[k]!
  }
  return out
}

/** Correlation of two packed symmetric matrices above the diagonal, about zero. */
function alikeOffDiagonal(a: Float64Array, b: Float64Array, size: number): number {
  let ab = 0
  let aa = 0
  let bb = 0
  for (let k = size; k < a.length; k++) {
    const x = a[k]!
    const y = b[k]!
    ab += x * y
    aa += x * x
    bb += y * y
  }
  return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0
}

/** Energy of the rank-one part of a band against its mean turn, dB; what chance alone gives is taken off. */
function depthDb(
  packed: Float64Array,
  s: Float64Array,
  band: ResidualBand,
  first: number,
  size: number,
): number {
  let quadratic = 0
  let k = 0
  for (let lag = 0; lag < size; lag++) {
    let sum = 0
    for (let i = 0; i + lag < size; i++, k++) sum += packed[k]! * s[i]! * s[i + lag]!
    quadratic += lag === 0 ? sum : 2 * sum
  }
  const share = Math.max(1e-3, quadratic - 1 / size)
  let residual = 0
  let mean = 1e-30
  for (let n = first; n < first + size; n++) {
    residual += band.residualEnergy[n]!
    mean += band.meanEnergy[n]!
  }
  return 10 * Math.log10((share * residual) / mean + 1e-6)
}

/** Share of a component's energy that its mean over every k-th turn explains, less what chance would explain. */
function foldShare(x: Float64Array, period: number): number {
  const n = x.length
  let mean = 0
  for (const v of x) mean += v / n
  let energy = 0
  for (const v of x) energy += (v - mean) ** 2
  if (energy <= 0) return 0
  let explained = 0
  for (let phase = 0; phase < period; phase++) {
    let sum = 0
    let count = 0
    for (let k = phase; k < n; k += period) {
      sum += x[k]! - mean
      count++
    }
    if (count > 0) explained += (sum * sum) / count
  }
  const chance = (period - 1) / Math.max(1, n - 1)
  return Math.max(0, (explained / energy - chance) / (1 - chance))
}

function lagCorrelation(x: Float64Array, lag: number): number {
  let product = 0
  let energy = 0
  for (let n = 0; n < x.length; n++) energy += x[n]! ** 2
  for (let n = 0; n + lag < x.length; n++) product += x[n]! * x[n + lag]!
  return energy > 0 ? (product / energy) * (x.length / Math.max(1, x.length - lag)) : 0
}

/** Largest of the three waveform depths and the middle one, dB. */
export function waveDepths(depth: Float64Array): [number, number] {
  const sorted = WAVE_BANDS.map((i) => depth[i]!).sort((a, b) => b - a)
  return [sorted[0]!, sorted[1]!]
}
