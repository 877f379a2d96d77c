import { BINS, BINS_PER_OCTAVE, HOP_S } from './constants.js'
import type { SalienceMap } from './salience.js'

/** Farthest the speed may move between frames, bins: 0.145 octave in 20 ms, faster than any blip (440 Hz/s at 60 Hz). */
export const REACH = 7
/** Cost of departing from the slope that the chirp search found, per (bin)². Fitted by hand on open recordings. */
export const BEND_COST = 0.012
/** Salience favours sub-multiples by up to 0.1 with every third turn firing; this much an octave makes up for it. */
export const OCTAVE_BIAS = 0.1
/** Cost of reading a stretch at another multiple from here on; real engines never do it, so it is folded out later. */
export const RELABEL_COST = 2
/** Multiples a reading can be mistaken for. */
export const MULTIPLES: readonly number[] = [2, 1 / 2, 3, 1 / 3, 3 / 2, 2 / 3, 4, 1 / 4, 4 / 3, 3 / 4]

export interface RawTrack {
  /** Bin of every frame. */
  readonly bins: Int32Array
  /** Factor by which the reading was relabelled at the step into this frame; 1 nearly everywhere. */
  readonly relabels: Float64Array
}

/**
 * Best path of crank speed through the salience map.
 *
 * Between frames the speed follows the slope of the chirp search at a quadratic cost; relabelling to a multiple
 * costs {@link RELABEL_COST}.
 */
export function viterbi(map: SalienceMap, lowBin = 0, highBin = BINS - 1): RawTrack {
  const { frames, values, slopes } = map
  const score = new Float64Array(BINS).fill(-Infinity)
  const next = new Float64Array(BINS)
  const from = new Int16Array(frames * BINS)
  const gain = (frame: number, b: number): number =>
    values[frame * BINS + b]! + (OCTAVE_BIAS * b) / BINS_PER_OCTAVE
  for (let b = lowBin; b <= highBin; b++) score[b] = gain(0, b)
  const jumps = MULTIPLES.map((m) => Math.round(Math.log2(m) * BINS_PER_OCTAVE))
  const drift = (BINS_PER_OCTAVE * HOP_S) / Math.LN2
  // Half of the slopes' drift into and out of a frame, bins.
  const driftHere = new Float64Array(BINS)
  const driftBefore = new Float64Array(BINS)
  for (let frame = 1; frame < frames; frame++) {
    next.fill(-Infinity)
    let highest = -Infinity
    for (let b = lowBin; b <= highBin; b++) {
      highest = Math.max(highest, score[b]!)
      driftHere[b] = 0.5 * drift * slopes[frame * BINS + b]!
      driftBefore[b] = 0.5 * drift * slopes[(frame - 1) * BINS + b]!
    }
    for (let b = lowBin; b <= highBin; b++) {
      let best = -Infinity
      let origin = b
      const expectedHere = driftHere[b]!
      const last = Math.min(highBin, b + REACH)
      for (let a = Math.max(lowBin, b - REACH); a <= last; a++) {
        // Steps only cost: a bin that starts no higher than the best so far cannot beat it.
        if (score[a]! <= best) continue
        const bend = b - a - (expectedHere + driftBefore[a]!)
        const value = score[a]! - BEND_COST * bend * bend
        if (value > best) {
          best = value
          origin = a
        }
      }
      for (const jump of highest - RELABEL_COST > best ? jumps : []) {
        const a = b - jump
        if (a < lowBin || a > highBin) continue
        const value = score[a]! - RELABEL_COST
        if (value > best) {
          best = value
          origin = a
        }
      }
      next[b] = best + gain(frame, b)
      from[frame * BINS + b] = origin
    }
    score.set(next)
  }
  const bins = new Int32Array(frames)
  const relabels = new Float64Array(frames).fill(1)
  let b = lowBin
  for (let k = lowBin; k <= highBin; k++) if (score[k]! > score[b]!) b = k
  for (let frame = frames - 1; frame >= 0; frame--) {
    bins[frame] = b
    if (frame === 0) break
    const a = from[frame * BINS + b]!
    if (Math.abs(b - a) > REACH) relabels[frame] = nearestMultiple((b - a) / BINS_PER_OCTAVE)
    b = a
  }
  return { bins, relabels }
}

function nearestMultiple(octaves: number): number {
  let best = 1
  for (const m of MULTIPLES)
    if (Math.abs(Math.log2(m) - octaves) < Math.abs(Math.log2(best) - octaves)) best = m
  return best
}
