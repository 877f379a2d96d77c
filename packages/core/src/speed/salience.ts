import { BINS, BINS_PER_OCTAVE, binHz, CELL_S, HOP_S, LOWEST_HZ, WINDOWS, type WindowPlan } from './constants.js'
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
  const evidence = channels.map(() => new Float32Array(RING * BINS))
  const energy = channels.map(() => new Float64Array(RING))
  const windows = WINDOWS.map((plan) => windowReader(plan, channels.length))
  const reach = Math.max(...windows.map((w) => w.half))
  const lastCell = Math.floor(length / (rateHz * CELL_S))
  let filled = -1
  for (let frame = 0; frame < frames; frame++) {
    const centre = frame * CELLS_PER_HOP
    for (; filled < centre + reach; ) {
      filled++
      const slot = filled % RING
      for (let c = 0; c < channels.length; c++) {
        const row = evidence[c]!.subarray(slot * BINS, (slot + 1) * BINS)
        energy[c]![slot] = filled <= lastCell ? cells[c]!.cell(filled, row) : 0
        if (filled > lastCell) row.fill(0)
      }
    }
    for (const window of windows) window.read(centre, evidence, energy, values, slopes, frame * BINS)
  }
  return { frames, values, slopes }
}

interface WindowReader {
  /** Cells on either side of the centre. */
  readonly half: number
  read(
    centre: number,
    evidence: readonly Float32Array[],
    energy: readonly Float64Array[],
    values: Float32Array,
    slopes: Float32Array,
    offset: number,
  ): void
}

function windowReader(plan: WindowPlan, channelCount: number): WindowReader {
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
  const margin = Math.max(...shifts.map((s) => Math.max(...s)), ...shifts.map((s) => -Math.min(...s)))
  const width = bins + 2 * margin
  const merged = new Float32Array(width)
  const sums = chirps.map(() => new Float32Array(channelCount * bins))
  const sorted = new Float64Array(channelCount)
  const better = Math.ceil(channelCount / 2)
  const read: WindowReader['read'] = (centre, evidence, energy, values, slopes, offset) => {
    for (const sum of sums) sum.fill(0)
    for (let c = 0; c < channelCount; c++) {
      let total = 1e-9
      for (let k = 0; k <= 2 * groups; k++) {
        const weight = taper[k]!
        total += weight * mergeCells(evidence[c]!, energy[c]!, centre + (k - groups) * merge, merge, firstBin - margin, merged)
        for (let q = 0; q < chirps.length; q++) add(merged, margin + shifts[q]![k]!, weight, sums[q]!, c * bins, bins)
      }
      const scale = 1 / total
      for (const sum of sums) for (let b = c * bins; b < (c + 1) * bins; b++) sum[b] = sum[b]! * scale
    }
    for (let b = 0; b < bins; b++) {
      let best = -2
      let slope = 0
      for (let q = 0; q < chirps.length; q++) {
        const value = meanOfBetter(sums[q]!, b, bins, channelCount, better, sorted)
        if (value > best) {
          best = value
          slope = chirps[q]!
        }
      }
      const at = offset + firstBin + b
      values[at] = values[at]! + share[b]! * best
      if (share[b]! >= 0.5) slopes[at] = slope
    }
  }
  return { half: groups * merge + (merge >> 1), read }
}

/** Adds up `merge` neighbouring cells around `middle`, bins from `first` on; returns their energy. */
function mergeCells(
  rows: Float32Array,
  energy: Float64Array,
  middle: number,
  merge: number,
  first: number,
  out: Float32Array,
): number {
  out.fill(0)
  let total = 0
  const from = Math.max(0, -first)
  const to = Math.min(out.length, BINS - first)
  const begin = middle - (merge >> 1)
  for (let cell = Math.max(0, begin); cell < begin + merge; cell++) {
    const slot = cell % RING
    total += energy[slot]!
    const row = slot * BINS + first
    for (let b = from; b < to; b++) out[b] = out[b]! + rows[row + b]!
  }
  return total
}

function add(from: Float32Array, start: number, weight: number, into: Float32Array, base: number, count: number): void {
  for (let b = 0; b < count; b++) into[base + b] = into[base + b]! + weight * from[start + b]!
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
    if (below) weights[b] = weights[b]! * fade(Math.log(hz / plan.fromHz) / Math.log(below.toHz / plan.fromHz))
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
