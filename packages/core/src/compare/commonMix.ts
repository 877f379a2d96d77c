import { SPEED_REACH } from './constants.js'
import { COMPARED_KINDS, type Pass } from './passes.js'

/** How much of each side counts. */
export interface CommonMix {
  /** Share of the running both sides have in common, 0–1. */
  readonly overlap: number
  /** Weight of every judged turn, 0–1, pass by pass. */
  readonly before: readonly Float64Array[]
  readonly after: readonly Float64Array[]
}

/** Width of a cell, natural logarithm of speed. Chosen: an eighth of the reach of the smoothing. */
const CELL = SPEED_REACH / 8

/**
 * Weighs the turns of both sides to one common mix of kinds of running and crank speeds.
 *
 * Each side has a density over kind and logarithm of speed, of the turns something is known of, smoothed by a Gaussian
 * of standard deviation `SPEED_REACH`. What both have in common is the smaller of the two densities everywhere; a turn
 * weighs as much as that is of its own side's density there. Without edges between bins a state that runs a few percent
 * faster than another stays whole.
 *
 * @returns an overlap of 1 for equal mixes, 0 for sides with nothing in common or nothing known
 * @remarks O(turns + cells · reach); swapping the sides swaps the weights exactly.
 * @see Direct standardisation with the overlap of both sides as the standard, common practice in epidemiology
 */
export function commonMix(before: readonly Pass[], after: readonly Pass[]): CommonMix {
  const own = densityOf(before)
  const other = densityOf(after)
  if (!own || !other) return { overlap: 0, before: before.map(noWeight), after: after.map(noWeight) }
  let overlap = 0
  for (const [cell, value] of own) overlap += Math.min(value, other.get(cell) ?? 0)
  return {
    overlap: Math.min(1, overlap),
    before: before.map((pass) => weightsOf(pass, own, other)),
    after: after.map((pass) => weightsOf(pass, other, own)),
  }
}

/** Smoothed density by cell, sum 1; null where nothing is known. */
function densityOf(passes: readonly Pass[]): Map<number, number> | null {
  const counts = new Map<number, number>()
  let total = 0
  for (const { known, logSpeed, kind } of passes)
    known.forEach((weight, i) => {
      const cell = cellOf(kind[i]!, logSpeed[i]!)
      counts.set(cell, (counts.get(cell) ?? 0) + weight)
      total += weight
    })
  if (total === 0) return null
  const density = new Map<number, number>()
  for (const [cell, count] of counts)
    KERNEL.forEach((share, k) => {
      const at = cell + (k - REACH_CELLS) * COMPARED_KINDS.length
      density.set(at, (density.get(at) ?? 0) + (share * count) / total)
    })
  return density
}

const REACH_CELLS = Math.ceil((3 * SPEED_REACH) / CELL)
const KERNEL = (() => {
  const bell = Array.from({ length: 2 * REACH_CELLS + 1 }, (_, k) =>
    Math.exp(-(((k - REACH_CELLS) * CELL) ** 2) / (2 * SPEED_REACH ** 2)),
  )
  const sum = bell.reduce((total, value) => total + value, 0)
  return bell.map((value) => value / sum)
})()

/** Kinds lie side by side within a cell of speed. */
function cellOf(kind: number, logSpeed: number): number {
  return Math.round(logSpeed / CELL) * COMPARED_KINDS.length + kind
}

function weightsOf(pass: Pass, own: Map<number, number>, other: Map<number, number>): Float64Array {
  return Float64Array.from(pass.logSpeed, (logSpeed, i) => {
    const cell = cellOf(pass.kind[i]!, logSpeed)
    const density = own.get(cell) ?? 0
    return density > 0 ? Math.min(1, (other.get(cell) ?? 0) / density) : 0
  })
}

const noWeight = ({ turn }: Pass): Float64Array => new Float64Array(turn.length)
