import type { Kernels } from '../kernels/index.js'
import type { Layout } from '../kernels/layout.js'
import { BINS, BINS_PER_OCTAVE, WINDOWS } from './constants.js'
import type { LagCells } from './lagProducts.js'

/** Cells kept: more than the longest window holds. */
const RING = 64
/** Zeros on either side of a row: more than a chirp shifts it in the longest window. Derived. */
const PAD =
  4 + Math.max(...WINDOWS.flatMap((w) => w.chirps.map((c) => shiftBins(1 - (Math.abs(c) * w.lengthS) / 2))))
const ROW = (PAD + BINS + PAD + 3) & -4

function shiftBins(factor: number): number {
  return Math.ceil(-Math.log2(factor) * BINS_PER_OCTAVE)
}

/** The last cells, or sums of cells, of every channel. Cells before the recording are silent. */
export interface CellRing {
  /** Words between the rows of two channels. */
  readonly step: number
  /** Position of the first channel's row of a cell; PAD zeros lie before and behind it. */
  row(cell: number): number
  /** Energy of all channels, from place {@link energyAt} on. */
  readonly energy: Float64Array
  energyAt(cell: number): number
  write(cell: number, cells: LagCells): void
  clear(cell: number): void
  /** Writes the sum of the last `count` cells of another ring to the slot of the last. */
  merge(from: CellRing, cell: number, count: number): void
}

/**
 * @param layout memory is taken from it now and used once the kernels are there
 * @returns what makes the ring, given the kernels
 */
export function cellRing(channelCount: number, layout: Layout): (kernels: Kernels) => CellRing {
  const slotWords = channelCount * ROW
  const start = layout.take((RING + 1) * slotWords)
  const ones = layout.take(Math.max(RING, channelCount))
  const rows = layout.take(RING)
  return (kernels) => {
    const { floats, ints } = kernels
    floats.fill(0, start, start + (RING + 1) * slotWords)
    floats.fill(1, ones, ones + Math.max(RING, channelCount))
    const energy = new Float64Array((RING + 1) * channelCount)
    // The last slot stays silent.
    const slot = (cell: number): number => (cell < 0 ? RING : cell % RING)
    const row = (cell: number): number => start + slot(cell) * slotWords + PAD
    const energyAt = (cell: number): number => slot(cell) * channelCount
    const width = (BINS + 3) & -4
    return {
      step: ROW,
      row,
      energy,
      energyAt,
      write(cell, cells) {
        cells.cell(cell, row(cell), ROW, energy, energyAt(cell))
        for (let c = 0; c < channelCount; c++) {
          const end = row(cell) + c * ROW + BINS
          for (let b = end; b < end + 3; b++) floats[b] = 0
        }
      },
      clear(cell) {
        floats.fill(0, row(cell) - PAD, row(cell) - PAD + slotWords)
        energy.fill(0, energyAt(cell), energyAt(cell) + channelCount)
      },
      merge(from, cell, count) {
        for (let k = 0; k < count; k++) ints[rows + k] = from.row(cell - k)
        kernels.weightedRows(rows, ones, count, width, ones, channelCount, ROW, row(cell), ROW)
        for (let c = 0; c < channelCount; c++) {
          let sum = 0
          for (let k = 0; k < count; k++) sum += from.energy[from.energyAt(cell - k) + c]!
          energy[energyAt(cell) + c] = sum
        }
      },
    }
  }
}
