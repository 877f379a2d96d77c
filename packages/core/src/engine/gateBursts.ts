import { median } from '../math/stats.js'
import type { CutBand } from '../turns/index.js'

/** Turns that are averaged at a time, and turns from one average to the next. */
const GROUP = 9
const HOP = 3

/**
 * Share of a band's energy within turns that repeats from turn to turn, 0–1, median along the run.
 *
 * Variance within groups of nine turns is split into that of their mean and that around it; what noise alone leaves
 * in a mean of nine is taken off, so that noise gives 0. Each turn's own mean is no part of it: in an envelope,
 * loudness counts for nothing and bursts for all.
 *
 * @returns 0 for runs shorter than nine turns
 */
export function repeatShare({ points, turns, values }: CutBand): number {
  const shares: number[] = []
  const mean = new Float64Array(points)
  for (let first = 0; first + GROUP <= turns; first += HOP) {
    mean.fill(0)
    let all = 0
    for (let n = first; n < first + GROUP; n++) {
      const from = n * points
      let level = 0
      for (let p = 0; p < points; p++) level += values[from + p]! / points
      for (let p = 0; p < points; p++) {
        const x = values[from + p]! - level
        mean[p] = mean[p]! + x / GROUP
        all += (x * x) / GROUP
      }
    }
    let ofMean = 0
    for (let p = 0; p < points; p++) ofMean += mean[p]! ** 2
    const around = Math.max(0, ((all - ofMean) * GROUP) / (GROUP - 1))
    const repeats = Math.max(0, ofMean - around / GROUP)
    shares.push(repeats / (repeats + around + 1e-20))
  }
  return shares.length > 0 ? median(shares) : 0
}
