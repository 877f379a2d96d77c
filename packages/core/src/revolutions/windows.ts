import { TURN_BANDS, WAVE_BANDS } from '../bands/constants.js'
import { borrowKernels, type Kernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
import type { BandedGram, ResidualBand } from '../turns/vectors.js'
import { type EigenProblem, eigenProblem } from './eigen.js'

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
  const space = borrowSpace(grams.length, size)
  const take = (first: number): void => {
    const before = out.at(-1)
    out.push(oneWindow(grams, residuals, first, size, before && shifted(before, first), space))
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

/** Energy added to that of a window, so that silence is divided by something. */
const NO_ENERGY = 1e-12
/** Words of a packed matrix, and after it zeros up to a whole group of eight. */
const packedWords = (size: number): number => (size * (size + 1)) / 2 + 8
const BAND_WEIGHTS: readonly number[] = TURN_BANDS.map((b) => b.weight)
const ONE_BAND = TURN_BANDS.map((_, i) => BAND_WEIGHTS.map((_w, k) => (k === i ? 1 : 0)))
const OTHER_BANDS = TURN_BANDS.map((_, i) => BAND_WEIGHTS.map((w, k) => (k === i ? 0 : w)))

/** Places in the memory of the kernels that every window uses anew. */
interface Space {
  readonly kernels: Kernels
  /** Packed matrices of the bands, `step` words apart, and their weighted sum. */
  readonly matrices: number
  readonly step: number
  readonly joint: number
  /** Positions of the matrices, weights and a one for their weighted sum. */
  readonly rows: number
  readonly weights: number
  readonly one: number
  readonly products: number
  /** The part of a band's Gram matrix that belongs to a window. */
  readonly gram: number
  readonly eigen: EigenProblem
}

function borrowSpace(bands: number, size: number): Space {
  const layout = makeLayout()
  const step = (packedWords(size) + 3) & -4
  const matrices = layout.take(bands * step)
  const joint = layout.take(step)
  const rows = layout.take(bands)
  const weights = layout.take(bands)
  const one = layout.take(1)
  const products = layout.take(bands)
  const gram = layout.take(size * WINDOW_TURNS)
  const makeEigen = eigenProblem(size, layout)
  const kernels = borrowKernels(layout.total())
  for (let i = 0; i < bands; i++) kernels.ints[rows + i] = matrices + i * step
  kernels.floats[one] = 1
  return { kernels, matrices, step, joint, rows, weights, one, products, gram, eigen: makeEigen(kernels) }
}

function oneWindow(
  grams: readonly BandedGram[],
  residuals: readonly ResidualBand[],
  first: number,
  size: number,
  guess: Float64Array | undefined,
  space: Space,
): WindowEvidence {
  const { kernels, matrices, step, joint, eigen } = space
  const { floats } = kernels
  // The part of each band's Gram matrix that belongs to the window, at unit trace.
  grams.forEach(({ lags, values }, i) => {
    floats.set(values.subarray(first * lags, (first + size) * lags), space.gram)
    kernels.packWindow(space.gram, lags, size, NO_ENERGY, matrices + i * step)
  })
  const products = productsOfBands(space, grams.length, size)
  const weights = BAND_WEIGHTS.map(
    (weight, i) => weight * Math.max(LONE_WEIGHT, correlation(products, ONE_BAND[i]!, OTHER_BANDS[i]!)),
  )
  floats.set(weights, space.weights)
  kernels.weightedRows(space.rows, space.weights, grams.length, step, space.one, 1, 0, joint, 0)
  unpack(floats, joint, size, eigen.matrix)
  const { vector, value } = eigen.solve(guess)
  let trace = 0
  for (let i = 0; i < size; i++) trace += floats[joint + i]!
  const half = (use: readonly number[]) => weights.map((w, i) => (use.includes(i) ? w : 0))
  return {
    firstTurn: first,
    turns: size,
    component: vector,
    share: trace > 0 ? value / trace : 0,
    folds: [foldShare(vector, 2), foldShare(vector, 3), foldShare(vector, 4)],
    lag1: lagCorrelation(vector, 1),
    depthDb: Float64Array.from(residuals, (band, i) =>
      depthDb(floats, matrices + i * step, vector, band, first, size),
    ),
    agreement: correlation(products, half(LOW_HALF), half(HIGH_HALF)),
  }
}

/** Products of the bands' matrices above the diagonal, band by band. */
function productsOfBands(space: Space, bands: number, size: number): Float64Array {
  const { kernels, matrices, step, products } = space
  const width = ((size * (size - 1)) / 2 + 7) & -8
  const out = new Float64Array(bands * bands)
  for (let i = 0; i < bands; i++) {
    const row = matrices + i * step + size
    kernels.dotRows(row, row, step, bands - i, width, products)
    for (let k = i; k < bands; k++) {
      out[i * bands + k] = kernels.floats[products + k - i]!
      out[k * bands + i] = kernels.floats[products + k - i]!
    }
  }
  return out
}

/** Correlation, about zero and above the diagonal, of two sums of bands with the weights `a` and `b`. */
function correlation(products: Float64Array, a: readonly number[], b: readonly number[]): number {
  const bands = a.length
  let ab = 0
  let aa = 0
  let bb = 0
  for (let i = 0; i < bands; i++) {
    let alongA = 0
    let alongB = 0
    for (let k = 0; k < bands; k++) {
      alongA += products[i * bands + k]! * a[k]!
      alongB += products[i * bands + k]! * b[k]!
    }
    ab += a[i]! * alongB
    aa += a[i]! * alongA
    bb += b[i]! * alongB
  }
  return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0
}

function unpack(floats: Float32Array, packed: number, size: number, matrix: Float64Array): void {
  let k = packed
  for (let lag = 0; lag < size; lag++) {
    for (let i = 0; i + lag < size; i++, k++) {
      matrix[i * size + i + lag] = floats[k]!
      matrix[(i + lag) * size + i] = floats[k]!
    }
  }
}

/** Energy of the rank-one part of a band against its mean turn, dB; what chance alone gives is taken off. */
function depthDb(
  floats: Float32Array,
  packed: number,
  s: Float64Array,
  band: ResidualBand,
  first: number,
  size: number,
): number {
  let quadratic = 0
  let k = packed
  for (let lag = 0; lag < size; lag++) {
    let sum = 0
    for (let i = 0; i + lag < size; i++, k++) sum += floats[k]! * s[i]! * s[i + lag]!
    quadratic += lag === 0 ? sum : 2 * sum
  }
  const share = Math.max(1e-3, quadratic - 1 / size)
  const { rest, mean } = windowEnergy(band, first, size)
  return 10 * Math.log10((share * rest) / mean + 1e-6)
}

/** Energy of a band over a window: of what differs from turn to turn, and of the mean turn (never 0). */
export function windowEnergy(
  band: ResidualBand,
  first: number,
  size: number,
): { rest: number; mean: number } {
  let rest = 0
  let mean = 1e-30
  for (let n = first; n < first + size; n++) {
    rest += band.residualEnergy[n]!
    mean += band.meanEnergy[n]!
  }
  return { rest, mean }
}

/** Share of a component's energy that its mean over every k-th turn explains, less what chance would explain. */
export function foldShare(x: Float64Array, period: number): number {
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

/** Weight of turn `i` of a window where windows overlap: a Hann window, so that sums over windows run smoothly. */
export function turnWeight(i: number, turns: number): number {
  return Math.sin((Math.PI * (i + 0.5)) / turns) ** 2
}
