import { BINS, BINS_PER_OCTAVE, binHz, CELL_S, PERIODS } from './constants.js'

/** Longest lag kept at the full rate; longer ones are taken from the channel at half its rate. */
const FINE_LAG_S = 0.055

/**
 * Lag evidence of one channel, one cell of {@link CELL_S} at a time.
 *
 * For every bin of crank period T it holds the mean over j = 1…4 of p(jT) − p((j − ½)T), where p(τ) is the sum of
 * x(t − τ/2) · x(t + τ/2) over the cell. Sums of cells are windows, and cells added at shifted bins are windows on
 * a crank that speeds up: no other transform is needed.
 */
export interface LagCells {
  /** Writes the evidence of a cell into `out` (length {@link BINS}) and returns the cell's energy. */
  cell(index: number, out: Float32Array): number
}

export function lagCells(x: Float32Array, rateHz: number): LagCells {
  const coarse = halveRate(x)
  const fineLags = Math.ceil(FINE_LAG_S * rateHz) + 3
  const coarseFirst = Math.floor((FINE_LAG_S * rateHz) / 2) - 2
  const coarseLags = Math.ceil((PERIODS / binHz(0)) * (rateHz / 2)) + 4
  const fine = new Float64Array(fineLags + 1)
  const rough = new Float64Array(coarseLags + 1)
  const { lags, firstFine } = lagGrid(rateHz)
  const onGrid = new Float64Array(lags.length)
  const cellSize = CELL_S * rateHz
  const cell = (index: number, out: Float32Array): number => {
    const centre = Math.round(index * cellSize)
    products(x, centre - cellSize / 2, cellSize, 0, fineLags, fine)
    products(coarse, (centre - cellSize / 2) / 2, cellSize / 2, coarseFirst, coarseLags, rough)
    for (let k = 0; k < firstFine; k++) onGrid[k] = (2 / PERIODS) * interpolate(rough, lags[k]!)
    for (let k = firstFine; k < lags.length; k++) onGrid[k] = interpolate(fine, lags[k]!) / PERIODS
    for (let b = 0; b < BINS; b++) {
      let sum = 0
      for (let j = 0; j < PERIODS; j++) sum += onGrid[b + WHOLE[j]!]! - onGrid[b + HALF[j]!]!
      out[b] = sum
    }
    return fine[0]!
  }
  return { cell }
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

/** out[lag] = sum over the cell of x(t − lag/2) · x(t + lag/2), for lags from `first` to `last`. */
function products(
  x: Float32Array,
  start: number,
  size: number,
  first: number,
  last: number,
  out: Float64Array,
): void {
  const n = x.length
  for (let lag = Math.max(0, first); lag <= last; lag++) {
    const left = start - (lag >> 1)
    const from = Math.max(0, -left)
    const to = Math.min(size, n - left - lag)
    let sum = 0
    for (let i = left + from, end = left + to; i < end; i++) sum += x[i]! * x[i + lag]!
    out[lag] = sum
  }
}

function halveRate(x: Float32Array): Float32Array {
  const out = new Float32Array(x.length >> 1)
  for (let i = 0; i < out.length; i++) out[i] = 0.5 * (x[2 * i]! + x[2 * i + 1]!)
  return out
}

/** Catmull-Rom interpolation. */
function interpolate(values: Float64Array, position: number): number {
  const i = Math.floor(position)
  const f = position - i
  const a = values[i - 1]!
  const b = values[i]!
  const c = values[i + 1]!
  const d = values[i + 2]!
  return b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)))
}
