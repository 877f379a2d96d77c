import { solved } from '../math/matrix.js'
import type { Arena } from './arena.js'
import { principalAxes } from './principalAxes.js'
import { ROW, SKETCHES } from './regression.js'
import { ridgedFactor } from './ridge.js'

/** The turns of a block as points in the space of their sketches, and directions in it. */
export interface Directions {
  /** Sums of products of the sketches of turns so many turns apart, {@link SKETCHES} rows of as many. */
  productsAhead(lag: number): Float64Array
  /** Sums of the products of sketches, and their Cholesky factor with a ridge. */
  readonly products: Float64Array
  readonly factor: Float64Array
  /** The directions in which turns differ most. */
  readonly strongest: readonly Float64Array[]
  /** How far every turn lies along a direction. */
  sides(direction: Float64Array): Float64Array
  /** Sides along the direction that tells numbers of the turns best. */
  along(wanted: ArrayLike<number>): Float64Array
  /** By likeness to one turn. */
  like(turn: number): Float64Array
  /** The same with all directions made equally strong. */
  towards(turn: number): Float64Array
}

/** @param sketches {@link SKETCHES} numbers a turn; they stay in the arena */
export function makeDirections(arena: Arena, sketches: Float32Array): Directions {
  const { kernels } = arena
  const turns = sketches.length / SKETCHES
  const [rows, room, wanted, out] = [ROW * turns, SKETCHES * ROW, 4 * turns, 4 * turns].map((bytes) =>
    arena.take(bytes),
  ) as [number, number, number, number]
  kernels.floats.set(sketches, rows >> 2)
  const read = (at: number, count: number) =>
    new Float64Array(kernels.floats.subarray(at >> 2, (at >> 2) + count))
  const productsAhead = (lag: number): Float64Array => {
    const pairs = Math.max(0, turns - lag)
    for (let c = 0; c < SKETCHES; c++)
      kernels.sumRows(rows + lag * ROW, SKETCHES, pairs, rows + 4 * c, ROW, room + c * ROW)
    return read(room, SKETCHES * SKETCHES)
  }
  const products = productsAhead(0)
  const factor = ridgedFactor(products, SKETCHES)
  const sides = (direction: Float64Array): Float64Array => {
    kernels.floats.set(direction, room >> 2)
    kernels.multiplyVector(rows, SKETCHES, turns, room, out)
    return read(out, turns)
  }
  const own = (turn: number) => new Float64Array(sketches.subarray(turn * SKETCHES, (turn + 1) * SKETCHES))
  return {
    productsAhead,
    products,
    factor,
    strongest: principalAxes(products, SKETCHES),
    sides,
    along(column) {
      kernels.floats.set(column, wanted >> 2)
      kernels.sumRows(rows, SKETCHES, turns, wanted, 4, room)
      return sides(solved(factor, read(room, SKETCHES)))
    },
    like: (turn) => sides(own(turn)),
    towards: (turn) => sides(solved(factor, own(turn))),
  }
}
