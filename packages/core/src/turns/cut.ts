import type { BandSignal } from '../bands/filterBank.js'
import { borrowKernels } from '../kernels/index.js'
import { loadHeld, makeLayout } from '../kernels/layout.js'

/** Times of turn starts of one stretch, seconds; turn n lies between `startS[n]` and `startS[n + 1]`. */
export type TurnStarts = Float64Array

/** A band cut into turns: row n holds `points` values evenly spaced over turn n. */
export interface CutBand {
  readonly points: number
  readonly turns: number
  readonly values: Float32Array
}

/** Turns cut at a time. */
const BLOCK = 64
/** Share of a neighbour's length that points may lie outside their turn where lengths jump: f (1 − f)² / 2 at its most. */
const OVERSHOOT = 0.08

/**
 * Resamples a band signal to a fixed number of points a turn.
 *
 * @param startS length turns + 1, strictly increasing; between starts the crank angle follows a cubic
 * @param points a multiple of 4
 */
export function cutTurns(signal: BandSignal, startS: TurnStarts, points: number): CutBand {
  const { values, rateHz } = signal
  const turns = startS.length - 1
  const out = new Float32Array(Math.max(0, turns * points))
  const margin = Math.ceil(OVERSHOOT * longestTurn(startS) * rateHz) + 4
  const spanOf = (first: number, count: number): number =>
    Math.ceil((startS[first + count]! - startS[first]!) * rateHz) + 2 * margin
  let longest = 0
  for (let first = 0; first < turns; first += BLOCK)
    longest = Math.max(longest, spanOf(first, Math.min(BLOCK, turns - first)))
  const layout = makeLayout()
  const sound = layout.take(longest)
  const starts = layout.take(2 * (BLOCK + 3))
  const rows = layout.take(BLOCK * points)
  const kernels = borrowKernels(layout.total())
  for (let first = 0; first < turns; first += BLOCK) {
    const count = Math.min(BLOCK, turns - first)
    const from = Math.floor(startS[first]! * rateHz) - margin
    loadHeld(kernels.floats, sound, values, from, spanOf(first, count))
    for (let i = 0; i < count + 3; i++)
      kernels.doubles[starts / 2 + i] = startS[Math.min(turns, Math.max(0, first + i - 1))]!
    kernels.cutRows(sound, from, rateHz, starts, count, points, rows)
    out.set(kernels.floats.subarray(rows, rows + count * points), first * points)
  }
  return { points, turns, values: out }
}

function longestTurn(startS: TurnStarts): number {
  let longest = 0
  for (let n = 1; n < startS.length; n++) longest = Math.max(longest, startS[n]! - startS[n - 1]!)
  return longest
}
