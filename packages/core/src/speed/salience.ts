import {
  BINS,
  BINS_PER_OCTAVE,
  binHz,
  CELL_S,
  HOP_S,
  LOWEST_HZ,
  WINDOWS,
  type WindowPlan,
} from './constants.js'
import { lagCells } from './lagProducts.js'

/** Strength of every crank speed at every moment: `frames` rows of {@link BINS}. */
export interface SalienceMap {
  readonly frames: number
  readonly values: Float32Array
  /** Relative slope of the speed, per second, at which the value was found. */
  readonly slopes: Float32Array
}

/** Cells kept in the ring: more than the longest window holds. */
const RING = 64
const CELLS_PER_HOP = Math.round(HOP_S / CELL_S)

/**
 * Octave-safe salience of crank speeds.
 *
 * In a window around each frame the normalised autocorrelation r of every channel is taken along a straightened
 * chirp; the salience of a period T is the mean over j = 1…4 of r(jT) − r((j − ½)T), averaged over the better half
 * of the channels. Skipped turns leave r(jT) high at the crank period only, while 2T is punished by the second term.
 *
 * @param channels levelled channels at one rate and of one length
 * @returns one row every {@link HOP_S}, the first at time 0
 * @remarks O(duration). The chirp is followed by adding cells at shifted bins, since bins are logarithmic.
 */
export function salienceMap(channels: readonly Float32Array[], rateHz: number): SalienceMap {
  const length = channels[0]!.length
  const frames = Math.floor(length / (rateHz * HOP_S)) + 1
  const values = new Float32Array(frames * BINS)
  const slopes = new Float32Array(frames * BINS)
  const cells = channels.map((x) => lagCells(x, rateHz))
  const rings = WINDOWS.map((plan) => ({ plan, ring: makeRing(channels.length) }))
  const windows = rings.map(({ plan, ring }) => windowReader(plan, channels.length, ring))
  const reach = Math.max(...windows.map((w) => w.half))
  const lastCell = Math.floor(length / (rateHz * CELL_S))
  const fresh = makeRing(channels.length)
  let filled = -1
  for (let frame = 0; frame < frames; frame++) {
    for (; filled < frame * CELLS_PER_HOP + reach; ) {
      filled++
      const slot = filled % RING
      for (let c = 0; c < channels.length; c++) {
        const row = fresh.rows[c]!.subarray(slot * BINS, (slot + 1) * BINS)
        fresh.energy[c]![slot] = filled <= lastCell ? cells[c]!.cell(filled, row) : 0
        if (filled > lastCell) row.fill(0)
      }
      // A group of `merge` cells is kept at the slot of its last cell.
      for (const { plan, ring } of rings) mergeNewest(fresh, filled, plan.merge, ring)
    }
    for (const window of windows) window.read(frame * CELLS_PER_HOP, values, slopes, frame * BINS)
  }
  return { frames, values, slopes }
}

/** The last {@link RING} cells of every channel: rows of {@link BINS}, and their energy. */
interface Ring {
  readonly rows: readonly Float32Array[]
  readonly energy: readonly Float64Array[]
}

function makeRing(channelCount: number): Ring {
  return {
    rows: Array.from({ length: channelCount }, () => new Float32Array(RING * BINS)),
    energy: Array.from({ length: channelCount }, () => new Float64Array(RING)),
  }
}

function mergeNewest(from: Ring, newest: number, merge: number, to: Ring): void {
  const target = (newest % RING) * BINS
  for (let c = 0; c < from.rows.length; c++) {
    const rows = from.rows[c]!
    const out = to.rows[c]!
    let energy = 0
    for (let b = 0; b < BINS; b++) out[target + b] = rows[target + b]!
    for (let k = 0; k < merge; k++) energy += newest >= k ? from.energy[c]![(newest - k) % RING]! : 0
    for (let k = 1; k < merge && newest >= k; k++) {
      const row = ((newest - k) % RING) * BINS
      for (let b = 0; b < BINS; b++) out[target + b] = out[target + b]! + rows[row + b]!
    }
    to.energy[c]![newest % RING] = energy
  }
}

interface WindowReader {
  /** Cells on either side of the centre. */
  readonly half: number
  read(centre: number, values: Float32Array, slopes: Float32Array, offset: number): void
}

/** Salience below which a bin is no candidate for a closer look along chirps. */
const WORTH_A_CHIRP = 0.08
/** Bins on either side of a peak that are looked at along chirps. */
const CHIRP_BINS = 2

function windowReader(plan: WindowPlan, channelCount: number, ring: Ring): WindowReader {
  const { merge, chirps } = plan
  const groups = Math.floor(plan.lengthS / CELL_S / 2 / merge)
  const taper = Float64Array.from(
    { length: 2 * groups + 1 },
    (_, i) => Math.cos((Math.PI * (i - groups)) / (2 * groups + 2)) ** 2,
  )
  const firstBin = Math.max(0, Math.floor(Math.log2(plan.fromHz / LOWEST_HZ) * BINS_PER_OCTAVE))
  const lastBin = Math.min(BINS - 1, Math.ceil(Math.log2(plan.toHz / LOWEST_HZ) * BINS_PER_OCTAVE))
  const bins = lastBin - firstBin + 1
  const share = crossFade(plan, firstBin, bins)
  // At an offset in time the crank turns faster by the factor 1 + chirp · t: its evidence lies that many bins up.
  const shifts = chirps.map((chirp) =>
    Int32Array.from({ length: 2 * groups + 1 }, (_, i) =>
      Math.round(Math.log2(1 + chirp * (i - groups) * merge * CELL_S) * BINS_PER_OCTAVE),
    ),
  )
  const sum = new Float32Array(channelCount * bins)
  const scale = new Float64Array(channelCount)
  const sorted = new Float64Array(channelCount)
  const better = Math.ceil(channelCount / 2)
  const best = new Float64Array(bins)
  const slope = new Float64Array(bins)
  const lookCloser = new Uint8Array(bins)
  const ahead = merge >> 1
  const slotOf = (centre: number, k: number): number => centre + (k - groups) * merge + ahead

  const addUp = (centre: number, chirp: Int32Array | null, from: number, to: number): void => {
    for (let c = 0; c < channelCount; c++) {
      const rows = ring.rows[c]!
      const base = c * bins
      for (let b = from; b < to; b++) sum[base + b] = 0
      for (let k = 0; k <= 2 * groups; k++) {
        const at = slotOf(centre, k)
        if (at < 0) continue
        const shift = firstBin + (chirp ? chirp[k]! : 0)
        const low = Math.max(from, -shift)
        const high = Math.min(to, BINS - shift)
        addScaled(rows, (at % RING) * BINS + shift, taper[k]! * scale[c]!, sum, base, low, high)
      }
    }
  }
  const read: WindowReader['read'] = (centre, values, slopes, offset) => {
    for (let c = 0; c < channelCount; c++) {
      let total = 1e-9
      for (let k = 0; k <= 2 * groups; k++) {
        const at = slotOf(centre, k)
        if (at >= 0) total += taper[k]! * ring.energy[c]![at % RING]!
      }
      scale[c] = 1 / total
    }
    addUp(centre, null, 0, bins)
    for (let b = 0; b < bins; b++) {
      best[b] = meanOfBetter(sum, b, bins, channelCount, better, sorted)
      slope[b] = 0
    }
    markPeaks(best, lookCloser)
    for (let from = 0; from < bins; from++) {
      if (lookCloser[from] === 0) continue
      let to = from
      while (to < bins && lookCloser[to] === 1) to++
      for (let q = 0; q < chirps.length; q++) {
        if (chirps[q] === 0) continue
        addUp(centre, shifts[q]!, from, to)
        for (let b = from; b < to; b++) {
          const value = meanOfBetter(sum, b, bins, channelCount, better, sorted)
          if (value > best[b]!) {
            best[b] = value
            slope[b] = chirps[q]!
          }
        }
      }
      from = to
    }
    for (let b = 0; b < bins; b++) {
      const at = offset + firstBin + b
      values[at] = values[at]! + share[b]! * best[b]!
      if (share[b]! >= 0.5) slopes[at] = slope[b]!
    }
  }
  return { half: groups * merge + merge, read }
}

/** Marks the bins around every local maximum that is worth a closer look. */
function markPeaks(curve: Float64Array, marks: Uint8Array): void {
  marks.fill(0)
  const n = curve.length
  for (let b = 0; b < n; b++) {
    const v = curve[b]!
    if (v < WORTH_A_CHIRP || (b > 0 && curve[b - 1]! > v) || (b + 1 < n && curve[b + 1]! > v)) continue
    for (let k = Math.max(0, b - CHIRP_BINS); k <= Math.min(n - 1, b + CHIRP_BINS); k++) marks[k] = 1
  }
}

function addScaled(
  from: Float32Array,
  start: number,
  weight: number,
  into: Float32Array,
  base: number,
  low: number,
  high: number,
): void {
  for (let b = low; b < high; b++) into[base + b] = into[base + b]! + weight * from[start + b]!
}

/** Mean of the `better` largest channels at one bin (insertion sort: the lists are ten long). */
function meanOfBetter(
  sum: Float32Array,
  bin: number,
  bins: number,
  channelCount: number,
  better: number,
  sorted: Float64Array,
): number {
  for (let c = 0; c < channelCount; c++) {
    const value = sum[c * bins + bin]!
    let k = c
    while (k > 0 && sorted[k - 1]! < value) {
      sorted[k] = sorted[k - 1]!
      k--
    }
    sorted[k] = value
  }
  let total = 0
  for (let c = 0; c < better; c++) total += sorted[c]!
  return total / better
}

/** Raised-cosine share of a window in bins where it overlaps its neighbours, in log frequency. */
function crossFade(plan: WindowPlan, firstBin: number, bins: number): Float64Array {
  const weights = new Float64Array(bins).fill(1)
  const below = WINDOWS.find((w) => w.fromHz < plan.fromHz && w.toHz > plan.fromHz)
  const above = WINDOWS.find((w) => w.fromHz > plan.fromHz && w.fromHz < plan.toHz)
  for (let b = 0; b < bins; b++) {
    const hz = binHz(firstBin + b)
    if (below)
      weights[b] = weights[b]! * fade(Math.log(hz / plan.fromHz) / Math.log(below.toHz / plan.fromHz))
    if (above)
      weights[b] = weights[b]! * (1 - fade(Math.log(hz / above.fromHz) / Math.log(plan.toHz / above.fromHz)))
  }
  return weights
}

function fade(x: number): number {
  if (x <= 0) return 0
  if (x >= 1) return 1
  return 0.5 - 0.5 * Math.cos(Math.PI * x)
}
