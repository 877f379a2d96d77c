import { mean } from '../math/stats.js'
import { clamped, inDeviations, LEAST_SD } from './deviations.js'
import type { Directions } from './directions.js'
import type { Regression } from './regression.js'

/** Turns that groups are begun from. Given by the model, as are all numbers of this file. */
const BEGINNINGS = 8
/** Times that groups are formed anew, by all turns and then by the other folds. */
const GROUPINGS = 6
const TOLD_GROUPINGS = 2
/** Least share of the turns that is a group. */
const SMALLEST = 0.05
/** Standard deviations beyond which a column says no more of where to begin. */
const FARTHEST = 3
const FARTHEST_APART = 20

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
  directions: Directions,
  told: Regression,
  columns: readonly ArrayLike<number>[],
): TwoGroups {
  const turns = columns[0]!.length
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
    const found = regroup(directions, begin, seen)
    if (found && found.apart > best.apart) best = found
  }
  let side = best.side
  for (let k = 0; k < TOLD_GROUPINGS; k++)
    side = inDeviations(told(inDeviations(upper(side, border(side).at), LEAST_SD)), LEAST_SD)
  const { at, apart } = border(side)
  return { side: side.map((x) => x - at), apart }
}

/**
 * Forms groups along a direction, and directions by the groups, until they stay as they are.
 *
 * @param seen groups that were formed from beginnings before this one; takes those of this one
 * @returns sides and their {@link TwoGroups.apart}; null where it comes to groups that were formed before: they end alike
 */
function regroup(directions: Directions, begin: Float64Array, seen: Set<string>): TwoGroups | null {
  const own = new Set<string>()
  let side = begin
  let { at, apart } = border(side)
  for (let k = 0; k < GROUPINGS; k++) {
    const now = upper(side, at)
    const key = keyOf(now)
    if (own.has(key)) break
    if (seen.has(key)) return null
    own.add(key)
    seen.add(key)
    const share = mean(now)
    for (let n = 0; n < now.length; n++) now[n]! -= share
    side = inDeviations(directions.along(now), 1e-9)
    ;({ at, apart } = border(side))
  }
  return { side, apart }
}

/** 1 for the turns above the border, 0 for the others. */
function upper(side: Float64Array, at: number): Float64Array {
  const out = new Float64Array(side.length)
  for (let n = 0; n < side.length; n++) out[n] = side[n]! > at ? 1 : 0
  return out
}

/** Groups as text, the same whichever of them is above: 16 turns a letter. */
function keyOf(groups: Float64Array): string {
  let key = ''
  for (let first = 0; first < groups.length; first += 16) {
    let bits = 0
    for (let n = first; n < Math.min(first + 16, groups.length); n++)
      bits = 2 * bits + (groups[n] === groups[0] ? 1 : 0)
    key += String.fromCharCode(bits)
  }
  return key
}

/** Where numbers fall into two groups that scatter least, and how far the means of these lie apart. */
export function border(side: Float64Array): { readonly at: number; readonly apart: number } {
  const sorted = side.slice().sort()
  const turns = sorted.length
  let [all, square] = [0, 0]
  for (const x of sorted) {
    all += x
    square += x * x
  }
  let [low, most, best] = [0, 0, 0]
  for (let below = 1; below < turns; below++) {
    low += sorted[below - 1]!
    if (below < SMALLEST * turns || below > (1 - SMALLEST) * turns) continue
    const between = ((low / below - (all - low) / (turns - below)) / turns) ** 2 * below * (turns - below)
    if (between > most) [most, best] = [between, below - 1]
  }
  const share = (best + 1) / turns
  const within = square / turns - (all / turns) ** 2 - most
  const apart = Math.sqrt(most / Math.max(share * (1 - share), 1e-6) / Math.max(within, 1e-9))
  return {
    at: (sorted[best]! + sorted[Math.min(best + 1, turns - 1)]!) / 2,
    apart: Math.min(apart, FARTHEST_APART),
  }
}
