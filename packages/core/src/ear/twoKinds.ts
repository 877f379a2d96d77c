import { mean } from '../math/stats.js'
import type { Arena } from './arena.js'
import { nearMeans } from './turnParts.js'
import { REACH } from './turnWaveforms.js'

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
 * @param arena    where it keeps the sketches for as long as it is used
 * @param sketches of the turns of a run, {@link SKETCHES} numbers each
 * @returns takes the log-odds that every turn fired, and gives columns in this order: side of every turn after the first round
 *   times the correlation below; side after the last round, in standard deviations; correlation of the first round's sides with
 *   what was thought, −1 to 1; excess kurtosis and skewness of the sides; the log-odds themselves
 */
export function makeKindTeller(arena: Arena, sketches: Float32Array): KindTeller {
  const turns = sketches.length / SKETCHES
  const apart = apartOf(sketches)
  const count = Math.max(1, Math.round(turns / BLOCK))
  const blocks = Array.from({ length: count }, (_, k) => {
    const [first, end] = [Math.floor((k * turns) / count), Math.floor(((k + 1) * turns) / count)]
    const own = apart.subarray(first * SKETCHES, end * SKETCHES)
    for (let channel = 0; channel < SKETCHES; channel += SKETCH) normalise(own, channel)
    return { first, end, told: makeFolds(arena, own) }
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
  const means = nearMeans(sketches, SKETCHES, REACH)
  return sketches.map((x, i) => x - means[i]!)
}

/** Bytes of a turn's sketches. */
const ROW = 4 * SKETCHES

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

/** The turns of a fold in memory: sketches, what they should be, and what they should be by the others. */
interface Fold {
  readonly turns: readonly number[]
  readonly sketches: number
  readonly wanted: number
  readonly told: number
}

/** A regression on the sketches: gives every turn what the turns of the other folds say that it should be. */
function makeFolds(arena: Arena, sketches: Float32Array): Regression {
  const { kernels } = arena
  const folds = Array.from({ length: FOLDS }, (_, fold) => takeFold(arena, sketches, fold))
  const room = arena.take(SKETCHES * ROW)
  const roomAt = room >> 2
  /** Sums of the sketches of a fold, times each of so many columns of numbers that lie `step` bytes apart. */
  const products = ({ turns, sketches }: Fold, numbers: number, step: number, columns: number) => {
    for (let c = 0; c < columns; c++)
      kernels.sumRows(sketches, SKETCHES, turns.length, numbers + 4 * c, step, room + c * ROW)
    return kernels.floats.slice(roomAt, roomAt + columns * SKETCHES)
  }
  const factors = ofOthers(folds.map((fold) => products(fold, fold.sketches, ROW, SKETCHES))).map(factorOf)
  return (wanted) => {
    for (const fold of folds)
      kernels.floats.set(
        fold.turns.map((n) => wanted[n]!),
        fold.wanted >> 2,
      )
    const sums = ofOthers(folds.map((fold) => products(fold, fold.wanted, 4, 1)))
    const out = new Float64Array(wanted.length)
    for (const [f, { turns, sketches, told }] of folds.entries()) {
      kernels.floats.set(solved(factors[f]!, sums[f]!), roomAt)
      kernels.multiplyVector(sketches, SKETCHES, turns.length, room, told)
      for (let k = 0; k < turns.length; k++) out[turns[k]!] = kernels.floats[(told >> 2) + k]!
    }
    return out
  }
}

function takeFold(arena: Arena, sketches: Float32Array, fold: number): Fold {
  const turns = Array.from({ length: sketches.length / SKETCHES }, (_, n) => n).filter(
    (n) => Math.floor(n / FOLD_TURNS) % FOLDS === fold,
  )
  const [rows, wanted, told] = [ROW, 4, 4].map((bytes) => arena.take(bytes * turns.length)) as Triple
  turns.forEach((n, k) => {
    arena.kernels.floats.set(sketches.subarray(n * SKETCHES, (n + 1) * SKETCHES), (rows + k * ROW) >> 2)
  })
  return { turns, sketches: rows, wanted, told }
}

type Triple = [number, number, number]

/** Sums over all parts but each. */
function ofOthers(parts: readonly Float32Array[]): Float64Array[] {
  return parts.map((own) => {
    const sum = new Float64Array(own.length)
    for (const part of parts) if (part !== own) for (let i = 0; i < sum.length; i++) sum[i]! += part[i]!
    return sum
  })
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
