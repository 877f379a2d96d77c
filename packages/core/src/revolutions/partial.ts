import type { TwoLevels } from './levels.js'

/** Standard deviations from both kinds beyond which a turn between them is neither. */
const BETWEEN = 2.2
/** Separation of the kinds, standard deviations, from which a place between them can be told. */
const LEAST_SEPARATION = 5

/** How the turns of two clear kinds compare with them. */
export interface Between {
  readonly values: Float64Array
  readonly levels: TwoLevels
  /** 0–1: pictures of both kinds are near and differ. */
  readonly trust: Float64Array
  readonly separation: Float64Array
  /** Chance of two kinds of turn. */
  readonly twoKinds: Float64Array
}

/**
 * Place of a turn that burnt in part, 0 (like the low kind) to 1 (like the high kind), or null for a turn of either
 * kind. Only where the kinds stand well apart: elsewhere a turn between them is an unsure one.
 */
export function partialPlace(b: Between, turn: number): number | null {
  if (b.trust[turn]! < 0.5 || b.twoKinds[turn]! < 0.5 || b.separation[turn]! < LEAST_SEPARATION) return null
  const low = b.levels.low[turn]!
  const high = b.levels.high[turn]!
  const margin = BETWEEN * b.levels.spread[turn]!
  const value = b.values[turn]!
  if (value < low + margin || value > high - margin) return null
  return (value - low) / (high - low)
}
