import type { Kernels } from '../kernels/index.js'
import type { Layout } from '../kernels/layout.js'
import { BINS, BINS_PER_OCTAVE, WINDOWS } from './constants.js'
import type { LagCells } from './lagProducts.js'

/** Most cells that are merged. */
const MOST_MERGED = Math.max(...WINDOWS.map((w) => w.merge))
/** Zeros on either side of a row: more than a chirp shifts it in the longest window. Derived. */
export const PAD =
  4 + Math.max(...WINDOWS.flatMap((w) => w.chirps.map((c) => shiftBins(1 - (Math.abs(c) * w.lengthS) / 2))))

function shiftBins(factor: number): number {
  return Math.ceil(-Math.log2(factor) * BINS_PER_OCTAVE)
}

/** The last cells, or sums of cells, of every channel. Cells before the recording are silent. */
export interface CellRing {
  /** Words between the rows of two channels. */
  readonly step: number
  /** Position of bin 0 in the first channel's row of a cell; {@link PAD} zeros lie before and behind the bins that are kept. */
  row(cell: number): number
  /** Position of the energies of a cell, one double a channel. */
  energy(cell: number): number
  write(cell: number, cells: LagCells): void
  clear(cell: number): void
  /** Writes the sum of the last `count` cells of another ring to the slot of the last. */
  merge(from: CellRing, cell: number, count: number): void
}

/** What a ring keeps: little, so that the processor's cache holds it. */
export interface RingPlan {
  /** Cells that are kept at a time, and every how many of them there is one; earlier ones are overwritten. */
  readonly cells: number
  readonly every: number
  /** Bins that are kept: the first, and one past the last. */
  readonly firstBin: number
  readonly endBin: number
}

/**
 * @param layout memory is taken from it now and used once the kernels are there
 * @returns what makes the ring, given the kernels
 */
export function cellRing(
  channelCount: number,
  { cells, every, firstBin, endBin }: RingPlan,
  layout: Layout,
): (kernels: Kernels) => CellRing {
  const step = (PAD + endBin - firstBin + PAD + 3) & -4
  const slots = Math.ceil(cells / every) + 1
  const slotWords = channelCount * step
  const start = layout.take((slots + 1) * slotWords)
  const energyWords = 2 * channelCount
  const energies = layout.take((slots + 1) * energyWords)
  const ones = layout.take(Math.max(MOST_MERGED, channelCount))
  const rows = layout.take(MOST_MERGED)
  return (kernels) => {
    const { floats, ints, doubles } = kernels
    floats.fill(0, start, start + (slots + 1) * slotWords)
    floats.fill(1, ones, ones + Math.max(MOST_MERGED, channelCount))
    doubles.fill(0, energies / 2, (energies + (slots + 1) * energyWords) / 2)
    // The last slot stays silent.
    const slot = (cell: number): number => (cell < 0 ? slots : Math.floor(cell / every) % slots)
    const row = (cell: number): number => start + slot(cell) * slotWords + PAD - firstBin
    const energy = (cell: number): number => energies + slot(cell) * energyWords
    const width = (endBin - firstBin + 3) & -4
    return {
      step,
      row,
      energy,
      write(cell, evidence) {
        evidence.cell(cell, row(cell), step, energy(cell))
        for (let c = 0; c < channelCount; c++) {
          const end = row(cell) + c * step + BINS
          for (let b = end; b < end + 3; b++) floats[b] = 0
        }
      },
      clear(cell) {
        const from = start + slot(cell) * slotWords
        floats.fill(0, from, from + slotWords)
        doubles.fill(0, energy(cell) / 2, energy(cell) / 2 + channelCount)
      },
      merge(from, cell, count) {
        for (let k = 0; k < count; k++) ints[rows + k] = from.row(cell - k) + firstBin
        const to = row(cell) + firstBin
        kernels.weightedRows(rows, ones, count, width, ones, channelCount, from.step, to, step)
        for (let c = 0; c < channelCount; c++) {
          let sum = 0
          for (let k = 0; k < count; k++) sum += doubles[from.energy(cell - k) / 2 + c]!
          doubles[energy(cell) / 2 + c] = sum
        }
      },
    }
  }
}
