import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
import { BINS_PER_OCTAVE, HOP_S } from './constants.js'

/** Farthest the speed may move between frames, bins: 0.145 octave in 20 ms, faster than any blip (440 Hz/s at 60 Hz). */
export const REACH = 7
/** Cost of departing from the slope that the chirp search found, per (bin)². Fitted by hand on open recordings. */
const BEND_COST = 0.012
/** Half of a slope's drift from frame to frame, bins for a relative slope of 1/s: into a frame and out of it. */
const HALF_DRIFT = (0.5 * (BINS_PER_OCTAVE * HOP_S)) / Math.LN2

/** Best paths through rows of places, one bin apart, up to the present row. */
export interface Paths {
  /** Best score of a path to each place, doubles to be added to; −Infinity where none leads. */
  score(): Float64Array
  /** For each place the one that its path comes from, by the count of the present row; from the second row on. */
  origins(): Int32Array
  /** Begins anew with the same score everywhere; `slopes` of the speed at each place, per second. */
  start(slopes: Float32Array, score: number): void
  /**
   * Goes on to the next row: by {@link REACH} at most, at a quadratic cost for departing from the slopes.
   *
   * @param shift bins by which the row lies higher than the one before, at most {@link REACH} up or down
   */
  step(slopes: Float32Array, shift?: number): void
  /** Lets paths also come from `jumps` bins below, at a cost; after a step without shift. */
  jump(cost: number): void
}

/**
 * @param length places in a row
 * @param jumps  distances of {@link Paths.jump}, bins
 * @returns paths in the memory of the kernels, which nothing else may borrow meanwhile
 */
export function borrowPaths(length: number, jumps: readonly number[] = []): Paths {
  // Beyond its places a row holds scores of −Infinity, as far as the next row looks.
  const margin = Math.max(2 * REACH, ...jumps.map(Math.abs)) + 1
  const wide = margin + length + margin
  const layout = makeLayout()
  const rows = [0, 1].map(() => ({
    score: layout.take(2 * wide) + 2 * margin,
    drift: layout.take(2 * wide) + 2 * margin,
  }))
  const jumpsAt = layout.take(jumps.length)
  const originsAt = layout.take(length + 1)
  const kernels = borrowKernels(layout.total())
  const { floats, ints, doubles } = kernels
  floats.fill(0, 0, layout.total())
  for (const { score } of rows) doubles.fill(-Infinity, score / 2 - margin, score / 2 + length + margin)
  ints.set(jumps, jumpsAt)
  const scores = rows.map(({ score }) => doubles.subarray(score / 2, score / 2 + length))
  const drifts = rows.map(({ drift }) => doubles.subarray(drift / 2, drift / 2 + length))
  const origins = ints.subarray(originsAt, originsAt + length)
  // Kernels take places by twos: one behind an odd row is written too.
  const count = (length + 1) & -2
  let here = 0
  const setDrift = (slopes: Float32Array): void => {
    const drift = drifts[here]!
    for (let i = 0; i < length; i++) drift[i] = HALF_DRIFT * slopes[i]!
  }
  const closeEnd = (): void => {
    doubles[rows[here]!.score / 2 + length] = -Infinity
  }
  return {
    score: () => scores[here]!,
    origins: () => origins,
    start(slopes, score) {
      setDrift(slopes)
      scores[here]!.fill(score)
    },
    step(slopes, shift = 0) {
      const before = rows[here]!
      here = 1 - here
      const row = rows[here]!
      setDrift(slopes)
      kernels.pathStep(
        before.score + 2 * shift,
        before.drift + 2 * shift,
        row.drift,
        count,
        REACH,
        BEND_COST,
        row.score,
        originsAt,
      )
      closeEnd()
    },
    jump(cost) {
      const before = rows[1 - here]!
      kernels.pathJumps(before.score, jumpsAt, jumps.length, cost, count, rows[here]!.score, originsAt)
      closeEnd()
    },
  }
}

/** Place of the largest value, the first of equal ones. */
export function placeOfLargest(values: Float64Array): number {
  let best = 0
  for (let i = 1; i < values.length; i++) if (values[i]! > values[best]!) best = i
  return best
}
