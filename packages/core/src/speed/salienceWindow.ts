import type { Kernels } from '../kernels/index.js'
import type { Layout } from '../kernels/layout.js'
import { type CellRing, cellRing } from './cellRing.js'
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

/** Cells a frame of the speed track. */
export const CELLS_PER_HOP = Math.round(HOP_S / CELL_S)

/** Salience in one kind of window. */
export interface WindowReader {
  /** Cells on either side of the centre that have to be taken before a frame is read. */
  readonly half: number
  /** Takes a cell that has just been written to the ring of single cells. */
  take(cell: number): void
  /** Adds the window's share of the salience around a cell to the row at `offset`. */
  read(centre: number, values: Float32Array, slopes: Float32Array, offset: number): void
}

/** Salience below which a bin is no candidate for a closer look along chirps. */
const WORTH_A_CHIRP = 0.08
/** Bins on either side of a peak that are looked at along chirps. */
const CHIRP_BINS = 2

/**
 * @param layout memory is taken from it now and used once the kernels are there
 * @returns what makes the reader, given the kernels and the ring of single cells
 */
export function windowReader(
  plan: WindowPlan,
  channelCount: number,
  layout: Layout,
): (kernels: Kernels, fresh: CellRing) => WindowReader {
  const { merge, chirps } = plan
  const groups = Math.floor(plan.lengthS / CELL_S / 2 / merge)
  const count = 2 * groups + 1
  const firstBin = Math.max(0, Math.floor(Math.log2(plan.fromHz / LOWEST_HZ) * BINS_PER_OCTAVE))
  const lastBin = Math.min(BINS - 1, Math.ceil(Math.log2(plan.toHz / LOWEST_HZ) * BINS_PER_OCTAVE))
  const bins = lastBin - firstBin + 1
  const taper = Float32Array.from(
    { length: count },
    (_, i) => Math.cos((Math.PI * (i - groups)) / (2 * groups + 2)) ** 2,
  )
  const share = crossFade(plan, firstBin, bins)
  // At an offset in time the crank turns faster by the factor 1 + chirp · t: its evidence lies that many bins up.
  const shifts = chirps.map((chirp) =>
    Int32Array.from({ length: count }, (_, i) =>
      Math.round(Math.log2(1 + chirp * (i - groups) * merge * CELL_S) * BINS_PER_OCTAVE),
    ),
  )
  const better = Math.ceil(channelCount / 2)
  const ahead = merge >> 1
  const makeMerged = merge > 1 ? cellRing(channelCount, layout) : null
  const sumStep = (bins + 3) & -4
  const sum = layout.take(channelCount * sumStep)
  const mean = layout.take(sumStep)
  const tapers = layout.take(count)
  const scales = layout.take(channelCount)
  const rows = layout.take(count)
  const lookCloser = new Uint8Array(bins)
  const slope = new Float32Array(bins)
  const best = new Float32Array(bins)
  const total = new Float64Array(channelCount)
  const base = new Int32Array(count)
  const energyAt = new Int32Array(count)
  const straight = new Int32Array(count)
  return (kernels, fresh) => {
    const { floats, ints } = kernels
    floats.set(taper, tapers)
    const ring = makeMerged ? makeMerged(kernels) : fresh
    const findCells = (centre: number): void => {
      for (let k = 0; k < count; k++) {
        const cell = centre + (k - groups) * merge + ahead
        base[k] = ring.row(cell) + firstBin
        energyAt[k] = ring.energyAt(cell)
      }
    }
    /** Means over the better channels of bins `from` to `to` − 1, along a chirp; the result lies at `mean`. */
    const addUp = (shift: Int32Array, from: number, to: number): void => {
      for (let k = 0; k < count; k++) ints[rows + k] = base[k]! + from + shift[k]!
      const width = (to - from + 3) & -4
      kernels.weightedRows(rows, tapers, count, width, scales, channelCount, ring.step, sum, sumStep)
      kernels.meanOfLargest(sum, sumStep, channelCount, width, better, mean)
    }
    const scaleByEnergy = (): void => {
      total.fill(1e-9)
      for (let k = 0; k < count; k++)
        for (let c = 0; c < channelCount; c++)
          total[c] = total[c]! + taper[k]! * ring.energy[energyAt[k]! + c]!
      for (let c = 0; c < channelCount; c++) floats[scales + c] = 1 / total[c]!
    }
    const alongChirps = (from: number, to: number): void => {
      for (let q = 0; q < chirps.length; q++) {
        if (chirps[q] === 0) continue
        addUp(shifts[q]!, from, to)
        for (let b = from; b < to; b++) {
          const value = floats[mean + b - from]!
          if (value > best[b]!) {
            best[b] = value
            slope[b] = chirps[q]!
          }
        }
      }
    }
    const read: WindowReader['read'] = (centre, values, slopes, offset) => {
      findCells(centre)
      scaleByEnergy()
      addUp(straight, 0, bins)
      for (let b = 0; b < bins; b++) best[b] = floats[mean + b]!
      slope.fill(0)
      markPeaks(best, lookCloser)
      for (let from = 0; from < bins; from++) {
        if (lookCloser[from] === 0) continue
        let to = from
        while (to < bins && lookCloser[to] === 1) to++
        alongChirps(from, to)
        from = to
      }
      for (let b = 0; b < bins; b++) {
        const at = offset + firstBin + b
        values[at] = values[at]! + share[b]! * best[b]!
        if (share[b]! >= 0.5) slopes[at] = slope[b]!
      }
    }
    // Frames lie at every second cell, so that only every second sum of cells is ever looked at.
    const take: WindowReader['take'] = (cell) => {
      if (merge > 1 && (cell - ahead) % CELLS_PER_HOP === 0) ring.merge(fresh, cell, merge)
    }
    return { half: groups * merge + merge, take, read }
  }
}

/** Marks the bins around every local maximum that is worth a closer look. */
function markPeaks(curve: Float32Array, marks: Uint8Array): void {
  marks.fill(0)
  const n = curve.length
  for (let b = 0; b < n; b++) {
    const v = curve[b]!
    if (v < WORTH_A_CHIRP || (b > 0 && curve[b - 1]! > v) || (b + 1 < n && curve[b + 1]! > v)) continue
    for (let k = Math.max(0, b - CHIRP_BINS); k <= Math.min(n - 1, b + CHIRP_BINS); k++) marks[k] = 1
  }
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
