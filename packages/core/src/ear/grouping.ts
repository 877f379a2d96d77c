import type { Arena } from './arena.js'

/** Least share of the turns that is a group, and the most that is told of how far apart two are. Given by the model. */
const SMALLEST = 0.05
const FARTHEST_APART = 20

/** Where numbers fall into two groups that scatter least. */
export interface Border {
  readonly at: number
  /** How far the means of the groups lie apart, standard deviations within a group. */
  readonly apart: number
}

/** Two groups of turns on either side of a border. */
export interface Groups {
  /** Share of the turns below for those above, less the share above for those below: a mean of 0. */
  readonly balanced: Float32Array
  /** The groups as text, the same whichever of them is above. */
  readonly key: string
}

/** Forms groups of turns by where they lie on a line. */
export interface Grouping {
  border(side: Float64Array): Border
  split(side: Float64Array, at: number): Groups
}

/** @param turns of every line, one at least */
export function makeGrouping(arena: Arena, turns: number): Grouping {
  const { kernels } = arena
  const letters = Math.ceil(turns / 16)
  const [sides, room, found, balanced, key] = [8 * turns, 12 * turns, 16, 4 * turns, 2 * letters].map(
    (bytes) => arena.take(bytes),
  ) as [number, number, number, number, number]
  return {
    border(side) {
      kernels.doubles.set(side, sides >> 3)
      kernels.findBorder(sides, turns, SMALLEST, room, found)
      const [at, apart] = [kernels.doubles[found >> 3]!, kernels.doubles[(found >> 3) + 1]!]
      return { at, apart: Math.min(apart, FARTHEST_APART) }
    },
    split(side, at) {
      kernels.doubles.set(side, sides >> 3)
      kernels.splitAt(sides, turns, at, balanced, key)
      return {
        balanced: kernels.floats.slice(balanced >> 2, (balanced >> 2) + turns),
        key: String.fromCharCode(...kernels.shorts.subarray(key >> 1, (key >> 1) + letters)),
      }
    },
  }
}
