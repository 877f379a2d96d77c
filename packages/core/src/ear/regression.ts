import { solved } from '../math/matrix.js'
import type { Arena } from './arena.js'
import { ridgedFactor } from './ridge.js'

/** Parts of a turn's sketch, and of all sketches of a turn: of plain and of pre-emphasised sound. Given by the model, as are all numbers of this file. */
export const SKETCH = 16
export const SKETCHES = 2 * SKETCH
/** Bytes of a turn's sketches. */
export const ROW = 4 * SKETCHES

/** Turns are told by a direction that was found without them: runs of eight turns, every fourth one left out in turn. */
const FOLDS = 4
const FOLD_TURNS = 8

/** What the turns of a block should be by those of the other folds. */
export type Regression = (wanted: Float64Array) => Float64Array

/** The turns of a fold in memory: sketches, what they should be, and what they should be by the others. */
interface Fold {
  readonly turns: readonly number[]
  readonly sketches: number
  readonly wanted: number
  readonly told: number
}

/** A regression on the sketches: gives every turn what the turns of the other folds say that it should be. */
export function makeRegression(arena: Arena, sketches: Float32Array): Regression {
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
  const factors = ofOthers(folds.map((fold) => products(fold, fold.sketches, ROW, SKETCHES))).map((sums) =>
    ridgedFactor(sums, SKETCHES),
  )
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
