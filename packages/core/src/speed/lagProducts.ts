import type { Kernels } from '../kernels/index.js'
import { type Layout, loadSamples } from '../kernels/layout.js'
import { BINS, BINS_PER_OCTAVE, binHz, CELL_S, PERIODS } from './constants.js'

/** Longest lag kept at the full rate; longer ones are taken from the channel at half its rate. */
const FINE_LAG_S = 0.055
/** Cells whose sound is copied at a time. */
const BLOCK = 32

/**
 * Lag evidence of all channels, one cell of {@link CELL_S} at a time.
 *
 * For every bin of crank period T it holds the mean over j = 1…4 of p(jT) − p((j − ½)T), where p(τ) is the sum of
 * x(t − τ/2) · x(t + τ/2) over the cell. Sums of cells are windows, and cells added at shifted bins are windows on
 * a crank that speeds up: no other transform is needed.
 */
export interface LagCells {
  /**
   * Writes the evidence of a cell to position `out`, one row of {@link BINS} a channel and `step` words apart (three
   * words behind a row are overwritten), and its energies, doubles, to position `energy`. Cells come in order.
   */
  cell(index: number, out: number, step: number, energy: number): void
}

/**
 * @param channels of one length
 * @param rateHz   rate of the channels; a cell is an even number of samples
 * @param layout   memory is taken from it now and used once `kernels` are there
 * @returns what makes the cells, given the kernels
 */
export function lagCells(
  channels: readonly Float32Array[],
  rateHz: number,
  layout: Layout,
): (kernels: Kernels) => LagCells {
  const coarse = channels.map(halveRate)
  const size = Math.round(CELL_S * rateHz)
  const grid = lagGrid(rateHz)
  // Positions and shapes of the two sets of products: full rate up to FINE_LAG_S, half rate above.
  const fine = productSet(0, Math.ceil(FINE_LAG_S * rateHz) + 3, size)
  const roughFirst = (Math.floor((FINE_LAG_S * rateHz) / 2) - 2) & -2
  const rough = productSet(roughFirst, Math.ceil((PERIODS / binHz(0)) * (rateHz / 2)) + 4, size / 2)
  const productStep = fine.count + rough.count
  const products = layout.take(channels.length * productStep)
  const gridStep = (grid.lags.length + 7) & -4
  const onGrid = layout.take(channels.length * gridStep)
  const indices = layout.take(gridStep)
  const weights = layout.take(4 * gridStep)
  const combRows = layout.take(2 * PERIODS)
  const combWeights = layout.take(2 * PERIODS)
  const ones = layout.take(channels.length)
  const fineSound = layout.take(channels.length * fine.words)
  const roughSound = layout.take(channels.length * rough.words)
  return (kernels) => {
    const { floats, ints, doubles } = kernels
    for (let k = 0; k < gridStep; k++) {
      const isFine = k >= grid.firstFine
      const lag = grid.lags[Math.min(k, grid.lags.length - 1)]!
      const whole = Math.floor(lag)
      ints[indices + k] = whole - 1 + (isFine ? 0 : fine.count - rough.first)
      catmullRomWeights(lag - whole, (isFine ? 1 : 2) / PERIODS, floats, weights + 4 * k)
    }
    for (let j = 0; j < PERIODS; j++) {
      ints[combRows + j] = onGrid + WHOLE[j]!
      ints[combRows + PERIODS + j] = onGrid + HALF[j]!
      floats[combWeights + j] = 1
      floats[combWeights + PERIODS + j] = -1
    }
    floats.fill(1, ones, ones + channels.length)
    let loaded = -1
    const load = (block: number): void => {
      const start = block * BLOCK * size - size / 2
      channels.forEach((x, c) => {
        loadSamples(floats, fineSound + c * fine.words, x, start - fine.margin, fine.words)
        loadSamples(floats, roughSound + c * rough.words, coarse[c]!, start / 2 - rough.margin, rough.words)
      })
      loaded = block
    }
    const cell: LagCells['cell'] = (index, out, step, energy) => {
      const block = Math.floor(index / BLOCK)
      if (block !== loaded) load(block)
      const at = (index - block * BLOCK) * size
      const all = channels.length
      const fineAt = fineSound + fine.margin + at
      const roughAt = roughSound + rough.margin + at / 2
      const { count } = rough
      kernels.lagProducts(fineAt, fine.words, size, 0, fine.count, products, productStep, all)
      kernels.lagProducts(
        roughAt,
        rough.words,
        size / 2,
        rough.first,
        count,
        products + fine.count,
        productStep,
        all,
      )
      for (let c = 0; c < all; c++) doubles[energy / 2 + c] = floats[products + c * productStep]!
      kernels.gatherFours(products, productStep, indices, weights, gridStep, onGrid, gridStep, all)
      const width = (BINS + 3) & -4
      kernels.weightedRows(
        combRows,
        combWeights,
        2 * PERIODS,
        width,
        ones,
        channels.length,
        gridStep,
        out,
        step,
      )
    }
    return { cell }
  }
}

/** Grid steps below the lowest bin: room for the lag of PERIODS periods. */
const BELOW = Math.round(Math.log2(PERIODS) * BINS_PER_OCTAVE)
/** Places on the lag grid of j and j − ½ periods, relative to a bin; rounding moves a lag by at most 0.7 %. */
const WHOLE = Array.from(
  { length: PERIODS },
  (_, j) => BELOW - Math.round(Math.log2(j + 1) * BINS_PER_OCTAVE),
)
const HALF = Array.from(
  { length: PERIODS },
  (_, j) => BELOW - Math.round(Math.log2(j + 0.5) * BINS_PER_OCTAVE),
)

/** Lags on a logarithmic grid from four of the longest to half of the shortest period, samples of their channel. */
function lagGrid(rateHz: number): { lags: Float64Array; firstFine: number } {
  const lags = new Float64Array(BELOW + BINS + BINS_PER_OCTAVE)
  let firstFine = 0
  for (let k = 0; k < lags.length; k++) {
    const lagS = 1 / binHz(k - BELOW)
    if (lagS > FINE_LAG_S) firstFine = k + 1
    lags[k] = lagS <= FINE_LAG_S ? lagS * rateHz : (lagS * rateHz) / 2
  }
  return { lags, firstFine }
}

/** Lags `first` to `last` and more, in fours; sound of a block of cells with `margin` samples on either side. */
function productSet(first: number, last: number, cellSize: number) {
  const count = (last - first + 4) & -4
  const margin = ((first + count) >> 1) + 4
  return { first, count, margin, words: BLOCK * cellSize + 2 * margin }
}

function halveRate(x: Float32Array): Float32Array {
  const out = new Float32Array(x.length >> 1)
  for (let i = 0; i < out.length; i++) out[i] = 0.5 * (x[2 * i]! + x[2 * i + 1]!)
  return out
}

/** Weights of four neighbouring values in Catmull-Rom interpolation at `f` between the second and the third. */
function catmullRomWeights(f: number, scale: number, out: Float32Array, at: number): void {
  out[at] = scale * 0.5 * f * (-1 + f * (2 - f))
  out[at + 1] = scale * (1 + 0.5 * f * f * (-5 + 3 * f))
  out[at + 2] = scale * 0.5 * f * (1 + f * (4 - 3 * f))
  out[at + 3] = scale * 0.5 * f * f * (-1 + f)
}
