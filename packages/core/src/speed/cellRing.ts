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
  /** Position of the energies of a cell, one double a channel. */
  energy(cell: number): number
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
  const energyWords = 2 * channelCount
  const energies = layout.take((RING + 1) * energyWords)
  const ones = layout.take(Math.max(RING, channelCount))
  const rows = layout.take(RING)
  return (kernels) => {
    const { floats, ints, doubles } = kernels
    floats.fill(0, start, start + (RING + 1) * slotWords)
    floats.fill(1, ones, ones + Math.max(RING, channelCount))
    doubles.fill(0, energies / 2, (energies + (RING + 1) * energyWords) / 2)
    // The last slot stays silent.
    const slot = (cell: number): number => (cell < 0 ? RING : cell % RING)
    const row = (cell: number): number => start + slot(cell) * slotWords + PAD
    const energy = (cell: number): number => energies + slot(cell) * energyWords
    const width = (BINS + 3) & -4
    return {
      step: ROW,
      row,
      energy,
      write(cell, cells) {
        cells.cell(cell, row(cell), ROW, energy(cell))
        for (let c = 0; c < channelCount; c++) {
          const end = row(cell) + c * ROW + BINS
          for (let b = end; b < end + 3; b++) floats[b] = 0
        }
      },
      clear(cell) {
        floats.fill(0, row(cell) - PAD, row(cell) - PAD + slotWords)
        doubles.fill(0, energy(cell) / 2, energy(cell) / 2 + channelCount)
      },
      merge(from, cell, count) {
        for (let k = 0; k < count; k++) ints[rows + k] = from.row(cell - k)
        kernels.weightedRows(rows, ones, count, width, ones, channelCount, ROW, row(cell), ROW)
        for (let c = 0; c < channelCount; c++) {
          let sum = 0
          for (let k = 0; k < count; k++) sum += doubles[from.energy(cell - k) / 2 + c]!
          doubles[energy(cell) / 2 + c] = sum
        }
      },
    }
  }
}
