import type { Kernels } from '../kernels/index.js'
import type { Layout } from '../kernels/layout.js'
import { type CellRing, cellRing, PAD } from './cellRing.js'
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

/** Groups of merged cells on either side of a window's centre. */
function groupsOf({ lengthS, merge }: WindowPlan): number {
  return Math.floor(lengthS / CELL_S / 2 / merge)
}
const halfOf = (plan: WindowPlan): number => (groupsOf(plan) + 1) * plan.merge

/** Cells after the centre of a frame that have to be taken before it is read. */
export const CELLS_AHEAD = Math.max(...WINDOWS.map(halfOf))
/** Single cells that windows look at, from the oldest to the newest that has been taken. */
export const CELLS_KEPT = CELLS_AHEAD + Math.max(...WINDOWS.filter((w) => w.merge === 1).map(halfOf))

/** Salience in one kind of window. */
export interface WindowReader {
  /** Takes a cell that has just been written to the ring of single cells. */
  take(cell: number): void
  /** Adds the window's share of the salience around a cell to the row at `offset`. */
  read(centre: number, values: Float32Array, slopes: Float32Array, offset: number): void
}

/** Salience below which a bin is no candidate for a closer look along chirps. */
const WORTH_A_CHIRP = 0.08
/** Energy added to that of every window, so that silence has no salience. */
const NO_ENERGY = 1e-9
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
  const groups = groupsOf(plan)
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
  const ringPlan = {
    cells: CELLS_AHEAD + groups * merge + 1,
    every: CELLS_PER_HOP,
    firstBin: Math.max(0, firstBin - PAD),
    endBin: Math.min(BINS, lastBin + 1 + PAD),
  }
  const makeMerged = merge > 1 ? cellRing(channelCount, ringPlan, layout) : null
  const sumStep = (bins + 7) & -8
  const sum = layout.take(channelCount * sumStep)
  const mean = layout.take(sumStep)
  const tapers = layout.take(count)
  const scales = layout.take(channelCount)
  const rows = layout.take(count)
  const starts = layout.take(sumStep / 8)
  const lookCloser = new Uint8Array(bins)
  const slope = new Float32Array(bins)
  const best = new Float32Array(bins)
  const base = new Int32Array(count)
  return (kernels, fresh) => {
    const { floats, ints } = kernels
    floats.set(taper, tapers)
    const ring = makeMerged ? makeMerged(kernels) : fresh
    /** Finds the window's cells, and takes their energy out of the sums to come. */
    const findCells = (centre: number): void => {
      for (let k = 0; k < count; k++) {
        const cell = centre + (k - groups) * merge + ahead
        base[k] = ring.row(cell) + firstBin
        ints[rows + k] = ring.energy(cell)
      }
      kernels.energyScales(rows, tapers, count, channelCount, NO_ENERGY, scales)
    }
    const placeRows = (shift: Int32Array | null): void => {
      for (let k = 0; k < count; k++) ints[rows + k] = base[k]! + (shift ? shift[k]! : 0)
    }
    /** Means over the better channels of all bins, with the crank at a constant speed; they lie at `mean`. */
    const addUp = (): void => {
      placeRows(null)
      kernels.weightedRows(
        rows,
        tapers,
        count,
        (bins + 3) & -4,
        scales,
        channelCount,
        ring.step,
        sum,
        sumStep,
      )
      kernels.meanOfLargest(sum, sumStep, channelCount, (bins + 3) & -4, better, mean)
    }
    /** The same along every chirp, in the marked bins alone. */
    const alongChirps = (): void => {
      const blocks = coverMarks(lookCloser, ints, starts)
      if (blocks === 0) return
      for (let q = 0; q < chirps.length; q++) {
        if (chirps[q] === 0) continue
        placeRows(shifts[q]!)
        kernels.weightedBlocks(
          rows,
          tapers,
          count,
          starts,
          blocks,
          scales,
          channelCount,
          ring.step,
          sum,
          sumStep,
        )
        kernels.meanOfLargest(sum, sumStep, channelCount, 8 * blocks, better, mean)
        for (let k = 0; k < 8 * blocks; k++) {
          const b = ints[starts + (k >> 3)]! + (k & 7)
          const value = floats[mean + k]!
          if (b >= bins || lookCloser[b] === 0 || value <= best[b]!) continue
          best[b] = value
          slope[b] = chirps[q]!
        }
      }
    }
    const read: WindowReader['read'] = (centre, values, slopes, offset) => {
      findCells(centre)
      addUp()
      for (let b = 0; b < bins; b++) best[b] = floats[mean + b]!
      slope.fill(0)
      markPeaks(best, lookCloser)
      alongChirps()
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
    return { take, read }
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

/** Writes the first bins of blocks of eight that cover all marks; returns how many they are. */
function coverMarks(marks: Uint8Array, starts: Int32Array, at: number): number {
  let blocks = 0
  for (let b = 0; b < marks.length; b++) {
    if (marks[b] === 0) continue
    starts[at + blocks++] = b
    b += 7
  }
  return blocks
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
