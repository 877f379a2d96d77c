import { mean } from '../math/stats.js'
import { forNearMeans } from './turnParts.js'
import { REACH } from './turnPictures.js'

/** Parts of a turn's sketch, and of all sketches of a turn: of plain and of pre-emphasised sound. Given by the model, as are all numbers of this file. */
export const SKETCH = 16
export const SKETCHES = 2 * SKETCH
/** Turns that a direction is sought over, about. */
const BLOCK = 384
/** Turns are told by a direction that was found without them: runs of eight turns, every fourth one left out in turn. */
const FOLDS = 4
const FOLD_TURNS = 8
/** What is added to the variance of every number, as a share of the mean variance, and whatever there is. */
const RIDGE = 0.1
const LEAST_RIDGE = 1e-6
const ROUNDS = 3
/** Standard deviations beyond which a turn says no more. */
const FARTHEST = 3
const FARTHEST_SIDE = 4
const STEEPNESS = 1.5

/** Numbers of a turn that a {@link KindTeller} gives. */
export const KIND_COLUMNS = 6

/** Tells whether a run holds two kinds of turn, and of which kind each turn is, from what is thought of the turns. */
export type KindTeller = (logits: Float32Array) => Float32Array[]

/**
 * Makes ready to tell the kinds of a run's turns.
 *
 * Seeks the direction in the sketches of turns along which what is thought of the turns can be told again: a linear regression
 * with a ridge, cross-validated, so that chance finds none. Where the sound holds two kinds, a weak thought of a few turns
 * becomes a clear one of all; where it holds one, nothing comes back.
 *
 * @param sketches of the turns of a run, {@link SKETCHES} numbers each
 * @returns takes the log-odds that every turn fired, and gives columns in this order: side of every turn after the first round
 *   times the correlation below; side after the last round, in standard deviations; correlation of the first round's sides with
 *   what was thought, −1 to 1; excess kurtosis and skewness of the sides; the log-odds themselves
 */
export function makeKindTeller(sketches: Float32Array): KindTeller {
  const turns = sketches.length / SKETCHES
  const apart = apartOf(sketches)
  const count = Math.max(1, Math.round(turns / BLOCK))
  const blocks = Array.from({ length: count }, (_, k) => {
    const [first, end] = [Math.floor((k * turns) / count), Math.floor(((k + 1) * turns) / count)]
    const own = apart.subarray(first * SKETCHES, end * SKETCHES)
    for (let channel = 0; channel < SKETCHES; channel += SKETCH) normalise(own, channel)
    return { first, end, told: makeFolds(own, end - first) }
  })
  return (logits) => {
    const columns = Array.from({ length: KIND_COLUMNS }, () => new Float32Array(turns))
    for (const { first, end, told } of blocks)
      tellBlock(told, logits.subarray(first, end)).forEach((column, c) => {
        columns[c]!.set(column, first)
      })
    columns[KIND_COLUMNS - 1]!.set(logits)
    return columns
  }
}

/** Sketches less the mean of those near by. */
function apartOf(sketches: Float32Array): Float32Array {
  const out = new Float32Array(sketches.length)
  forNearMeans(sketches, SKETCHES, REACH, (n, near) => {
    for (let c = 0; c < SKETCHES; c++) out[n * SKETCHES + c] = sketches[n * SKETCHES + c]! - near[c]!
  })
  return out
}

/** What the turns of a block should be by those of the other folds. */
type Regression = (wanted: Float64Array) => Float64Array

/** The columns but the last, for a block of turns. */
function tellBlock(told: Regression, logits: Float32Array): Float32Array[] {
  const turns = logits.length
  const thought = inDeviations(logits, 1e-3)
  let wanted: Float64Array = thought.map((x) => Math.max(-FARTHEST, Math.min(FARTHEST, x)))
  let side: Float64Array = inDeviations(told(wanted), 1e-6)
  const likeness = mean(side.map((x, n) => x * wanted[n]!)) / (deviation(wanted) + 1e-6)
  const once = side.map((x) => x * Math.max(0, likeness))
  for (let round = 1; round < ROUNDS; round++) {
    wanted = inDeviations(
      side.map((x) => Math.tanh(STEEPNESS * x)),
      1e-6,
    )
    side = inDeviations(told(wanted), 1e-6)
  }
  const last = side.map((x) => Math.max(-FARTHEST_SIDE, Math.min(FARTHEST_SIDE, x)))
  const all = (value: number): Float64Array => new Float64Array(turns).fill(value)
  const columns = [
    once,
    last,
    all(likeness),
    all(mean(last.map((x) => x ** 4)) - 3),
    all(mean(last.map((x) => x ** 3))),
  ]
  return columns.map((column) => Float32Array.from(column))
}

/** Brings the sketches of one channel to a mean square of 1. */
function normalise(sketches: Float32Array, first: number): void {
  let square = 0
  for (let row = first; row < sketches.length; row += SKETCHES)
    for (let c = row; c < row + SKETCH; c++) square += sketches[c]! ** 2
  const gain = 1 / (Math.sqrt(square / (sketches.length / 2)) + 1e-9)
  for (let row = first; row < sketches.length; row += SKETCHES)
    for (let c = row; c < row + SKETCH; c++) sketches[c]! *= gain
}

/** A regression on the sketches: gives every turn what the turns of the other folds say that it should be. */
function makeFolds(sketches: Float32Array, turns: number): Regression {
  const foldOf = (turn: number): number => Math.floor(turn / FOLD_TURNS) % FOLDS
  const products = Array.from({ length: FOLDS }, () => new Float64Array(SKETCHES * SKETCHES))
  for (let n = 0; n < turns; n++) addProducts(products[foldOf(n)]!, sketches, n * SKETCHES)
  const factors = products.map((own) => {
    const others = new Float64Array(own.length)
    for (const product of products)
      if (product !== own) for (let i = 0; i < own.length; i++) others[i]! += product[i]!
    return factorOf(others)
  })
  return (wanted) => {
    const own = factors.map(() => new Float64Array(SKETCHES))
    const all = new Float64Array(SKETCHES)
    for (let n = 0; n < turns; n++) {
      const sum = own[foldOf(n)]!
      for (let c = 0; c < SKETCHES; c++) sum[c]! += sketches[n * SKETCHES + c]! * wanted[n]!
    }
    for (const sum of own) for (let c = 0; c < SKETCHES; c++) all[c]! += sum[c]!
    const weights = own.map((sum, fold) =>
      solved(
        factors[fold]!,
        all.map((x, c) => x - sum[c]!),
      ),
    )
    const out = new Float64Array(turns)
    for (let n = 0; n < turns; n++) {
      const weight = weights[foldOf(n)]!
      let sum = 0
      for (let c = 0; c < SKETCHES; c++) sum += sketches[n * SKETCHES + c]! * weight[c]!
      out[n] = sum
    }
    return out
  }
}

/** Adds the lower half of the products of a row with itself. @param at place of the row's first number */
function addProducts(products: Float64Array, rows: Float32Array, at: number): void {
  for (let i = 0; i < SKETCHES; i++) {
    const value = rows[at + i]!
    for (let j = 0; j <= i; j++) products[i * SKETCHES + j]! += value * rows[at + j]!
  }
}

/** Cholesky factor of a symmetric matrix, of which the lower half is read, with the ridge added. */
function factorOf(products: Float64Array): Float64Array {
  let trace = 0
  for (let i = 0; i < SKETCHES; i++) trace += products[i * SKETCHES + i]!
  const ridge = (RIDGE * trace) / SKETCHES + LEAST_RIDGE
  const factor = products.slice()
  for (let i = 0; i < SKETCHES; i++) factor[i * SKETCHES + i]! += ridge
  for (let i = 0; i < SKETCHES; i++)
    for (let j = 0; j <= i; j++) {
      let rest = factor[i * SKETCHES + j]!
      for (let k = 0; k < j; k++) rest -= factor[i * SKETCHES + k]! * factor[j * SKETCHES + k]!
      factor[i * SKETCHES + j] = i === j ? Math.sqrt(rest) : rest / factor[j * SKETCHES + j]!
    }
  return factor
}

/** Solution of a system of equations by its Cholesky factor: forward, then back. */
function solved(factor: Float64Array, right: Float64Array): Float64Array {
  const x = right.slice()
  for (let i = 0; i < SKETCHES; i++) {
    for (let k = 0; k < i; k++) x[i]! -= factor[i * SKETCHES + k]! * x[k]!
    x[i]! /= factor[i * SKETCHES + i]!
  }
  for (let i = SKETCHES - 1; i >= 0; i--) {
    for (let k = i + 1; k < SKETCHES; k++) x[i]! -= factor[k * SKETCHES + i]! * x[k]!
    x[i]! /= factor[i * SKETCHES + i]!
  }
  return x
}

function deviation(values: Float64Array): number {
  const middle = mean(values)
  return Math.sqrt(mean(values.map((x) => (x - middle) ** 2)))
}

/** Distances from the mean in standard deviations, to which `least` is added. */
function inDeviations(values: ArrayLike<number>, least: number): Float64Array {
  const off = Float64Array.from(values)
  const middle = mean(off)
  const sd = deviation(off) + least
  return off.map((x) => (x - middle) / sd)
}
