import type { Arena } from './arena.js'
import { clamped, inDeviations, LEAST_SD } from './deviations.js'
import type { Directions } from './directions.js'
import { type Grouping, makeGrouping } from './grouping.js'
import type { Regression } from './regression.js'

/** Turns that groups are begun from. Given by the model, as are all numbers of this file. */
const BEGINNINGS = 8
/** Times that groups are formed anew, by all turns and then by the other folds. */
const GROUPINGS = 6
const TOLD_GROUPINGS = 2
/** Standard deviations beyond which a column says no more of where to begin. */
const FARTHEST = 3

/** Two groups of turns. */
export interface TwoGroups {
  /** How far every turn is from the border between the groups, standard deviations. */
  readonly side: Float64Array
  /** How far the means lie apart, standard deviations within a group: 2.65 where the turns are one normal distribution. */
  readonly apart: number
}

/**
 * The direction in the sketches of turns along which they fall into two groups that lie furthest apart, whatever was thought of
 * them.
 *
 * @remarks From several beginnings: a border between groups gives a direction, a direction a border (Otsu, IEEE Transactions on
 *   Systems, Man, and Cybernetics 9, 1979). The last directions are those of turns that do not take part.
 * @param told    the regression on the same sketches
 * @param columns numbers of every turn to begin from, one column at least
 */
export function findTwoGroups(
  arena: Arena,
  directions: Directions,
  told: Regression,
  columns: readonly ArrayLike<number>[],
): TwoGroups {
  const turns = columns[0]!.length
  const grouping = makeGrouping(arena, turns)
  const picked = Array.from({ length: BEGINNINGS }, (_, k) => Math.floor(((k + 0.5) / BEGINNINGS) * turns))
  const begun = [
    ...columns.map((column) => directions.along(clamped(inDeviations(column, 1e-3), FARTHEST))),
    ...picked.map((n) => directions.like(n)),
    ...picked.map((n) => directions.towards(n)),
    ...directions.strongest.map(directions.sides),
  ]
  const seen = new Set<string>()
  let best = { side: begun[0]!, apart: -1 }
  for (const begin of begun) {
    const found = regroup(directions, grouping, begin, seen)
    if (found && found.apart > best.apart) best = found
  }
  let side = best.side
  for (let k = 0; k < TOLD_GROUPINGS; k++)
    side = inDeviations(told(inDeviations(upper(side, grouping.border(side).at), LEAST_SD)), LEAST_SD)
  const { at, apart } = grouping.border(side)
  return { side: side.map((x) => x - at), apart }
}

/**
 * Forms groups along a direction, and directions by the groups, until they stay as they are.
 *
 * @param seen groups that were formed from beginnings before this one; takes those of this one
 * @returns sides and their {@link TwoGroups.apart}; null where it comes to groups that were formed before: they end alike
 */
function regroup(
  directions: Directions,
  grouping: Grouping,
  begin: Float64Array,
  seen: Set<string>,
): TwoGroups | null {
  const own = new Set<string>()
  let side = begin
  let { at, apart } = grouping.border(side)
  for (let k = 0; k < GROUPINGS; k++) {
    const { balanced, key } = grouping.split(side, at)
    if (own.has(key)) break
    if (seen.has(key)) return null
    own.add(key)
    seen.add(key)
    side = inDeviations(directions.along(balanced), 1e-9)
    ;({ at, apart } = grouping.border(side))
  }
  return { side, apart }
}

/** 1 for the turns above the border, 0 for the others. */
function upper(side: Float64Array, at: number): Float64Array {
  const out = new Float64Array(side.length)
  for (let n = 0; n < side.length; n++) out[n] = side[n]! > at ? 1 : 0
  return out
}
