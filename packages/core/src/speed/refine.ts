import { BINS, BINS_PER_OCTAVE, HOP_S } from './constants.js'
import type { SalienceMap } from './salience.js'
import { BEND_COST, REACH } from './viterbi.js'

/** Bins on either side of the settled curve that the second pass may use: 15 %. */
const BAND = 10

/**
 * Second pass: the best path close to a settled curve, with positions between bins by a parabola through the peak.
 *
 * @param bins position of every frame from `firstFrame` on, fractional bins
 * @returns refined positions, same length
 */
export function refineCurve(map: SalienceMap, firstFrame: number, bins: Float64Array): Float64Array {
  const n = bins.length
  const width = 2 * BAND + 1
  const drift = (BINS_PER_OCTAVE * HOP_S) / Math.LN2
  const base = Int32Array.from(bins, (b) => Math.round(b) - BAND)
  const value = (k: number, b: number): number =>
    b < 0 || b >= BINS ? -1 : map.values[(firstFrame + k) * BINS + b]!
  const slope = (k: number, b: number): number =>
    b < 0 || b >= BINS ? 0 : map.slopes[(firstFrame + k) * BINS + b]! * drift
  let score = Float64Array.from({ length: width }, (_, i) => value(0, base[0]! + i))
  const from = new Int8Array(n * width)
  for (let k = 1; k < n; k++) {
    const next = new Float64Array(width)
    // Where the settled curve jumps, the path starts afresh.
    const jump = Math.abs(base[k]! - base[k - 1]!) > REACH
    for (let i = 0; i < width; i++) {
      const b = base[k]! + i
      let best = -Infinity
      for (let j = 0; j < width; j++) {
        const a = base[k - 1]! + j
        if (!jump && Math.abs(b - a) > REACH) continue
        const bend = b - a - 0.5 * (slope(k, b) + slope(k - 1, a))
        const candidate = score[j]! - (jump ? 0 : BEND_COST * bend * bend)
        if (candidate > best) {
          best = candidate
          from[k * width + i] = j
        }
      }
      next[i] = best + value(k, b)
    }
    score = next
  }
  const out = new Float64Array(n)
  let i = score.indexOf(Math.max(...score))
  for (let k = n - 1; k >= 0; k--) {
    const b = base[k]! + i
    out[k] = b + parabolaPeak(value(k, b - 1), value(k, b), value(k, b + 1))
    i = from[k * width + i]!
  }
  return out
}

/** Place of the peak of a parabola through three equidistant values, -0.5…0.5 from the middle one. */
function parabolaPeak(left: number, middle: number, right: number): number {
  const curve = left - 2 * middle + right
  if (curve >= 0) return 0
  return Math.max(-0.5, Math.min(0.5, (0.5 * (left - right)) / curve))
}
