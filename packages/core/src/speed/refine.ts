import { BINS } from './constants.js'
import { borrowPaths, placeOfLargest, REACH } from './paths.js'
import type { SalienceMap } from './salience.js'

/** Bins on either side of the settled curve that the second pass may use: 15 %. */
const BAND = 10
/** Bins that it may use in a frame. */
const WIDTH = 2 * BAND + 1

/**
 * Second pass: the best path close to a settled curve, with positions between bins by a parabola through the peak.
 *
 * @param bins position of every frame from `firstFrame` on, fractional bins
 * @returns refined positions, same length
 */
export function refineCurve(map: SalienceMap, firstFrame: number, bins: Float64Array): Float64Array {
  const n = bins.length
  const base = Int32Array.from(bins, (b) => Math.round(b) - BAND)
  const values = nearCurve(map.values, firstFrame, base, -1)
  const slopes = nearCurve(map.slopes, firstFrame, base, 0)
  const paths = borrowPaths(WIDTH)
  const from = new Int8Array(n * WIDTH)
  for (let k = 0; k < n; k++) {
    const row = k * WIDTH
    const here = slopes.subarray(row, row + WIDTH)
    const shift = k === 0 ? 0 : base[k]! - base[k - 1]!
    if (k === 0) paths.start(here, 0)
    else if (Math.abs(shift) > REACH) {
      // Where the settled curve jumps, the path starts afresh.
      const before = placeOfLargest(paths.score())
      from.fill(before, row, row + WIDTH)
      paths.start(here, paths.score()[before]!)
    } else {
      paths.step(here, shift)
      for (let i = 0; i < WIDTH; i++) from[row + i] = paths.origins()[i]! + shift
    }
    const score = paths.score()
    for (let i = 0; i < WIDTH; i++) score[i] = score[i]! + values[row + i]!
  }
  const out = new Float64Array(n)
  let i = placeOfLargest(paths.score())
  for (let k = n - 1; k >= 0; k--) {
    const b = base[k]! + i
    const value = (bin: number): number => valueAt(map.values, firstFrame + k, bin, -1)
    out[k] = b + parabolaPeak(value(b - 1), value(b), value(b + 1))
    i = from[k * WIDTH + i]!
  }
  return out
}

/** Rows of {@link WIDTH} values of a map from bin `base[k]` on; `outside` beyond its bins. */
function nearCurve(
  values: Float32Array,
  firstFrame: number,
  base: Int32Array,
  outside: number,
): Float32Array {
  const out = new Float32Array(base.length * WIDTH)
  for (let k = 0; k < base.length; k++)
    for (let i = 0; i < WIDTH; i++)
      out[k * WIDTH + i] = valueAt(values, firstFrame + k, base[k]! + i, outside)
  return out
}

function valueAt(values: Float32Array, frame: number, bin: number, outside: number): number {
  return bin < 0 || bin >= BINS ? outside : values[frame * BINS + bin]!
}

/** Place of the peak of a parabola through three equidistant values, -0.5…0.5 from the middle one. */
function parabolaPeak(left: number, middle: number, right: number): number {
  const curve = left - 2 * middle + right
  if (curve >= 0) return 0
  return Math.max(-0.5, Math.min(0.5, (0.5 * (left - right)) / curve))
}
