import { borrowKernels } from '../kernels/index.js'
import { loadSamples, makeLayout } from '../kernels/layout.js'
import type { CutBand } from './cut.js'
import { hannSmooth } from './grid.js'

/** Turns over which the steady part of the sound is averaged and taken away. */
export const MEAN_TURNS = 9
/** Turns over which what is left is levelled. */
export const RMS_TURNS = 19

/** One band's turns without what they have in common with their neighbours. */
export interface ResidualBand {
  readonly points: number
  readonly turns: number
  /** turns · points; each turn's local rms is about 1. */
  readonly values: Float32Array
  /** Energy of the residual and of the mean turn, per turn, before levelling. */
  readonly residualEnergy: Float64Array
  readonly meanEnergy: Float64Array
}

/** Turns taken at a time. */
const BLOCK = 256
const REACH = (MEAN_TURNS - 1) / 2
const MEAN_WEIGHTS = Array.from(
  { length: MEAN_TURNS },
  (_, i) => Math.cos((Math.PI * (i - REACH)) / (MEAN_TURNS + 1)) ** 2,
)

/**
 * Takes the Hann-weighted mean over {@link MEAN_TURNS} away from each turn and levels the rest.
 *
 * @param cut points a multiple of 8
 */
export function residualBand(cut: CutBand): ResidualBand {
  const { points, turns, values } = cut
  const out = new Float32Array(values.length)
  const residualEnergy = new Float64Array(turns)
  const meanEnergy = new Float64Array(turns)
  const means = movingMeans(cut)
  for (let n = 0; n < turns; n++) {
    let rest = 0
    let kept = 0
    for (let k = n * points; k < (n + 1) * points; k++) {
      const average = means[k]!
      const r = values[k]! - average
      out[k] = r
      rest += r * r
      kept += average * average
    }
    residualEnergy[n] = rest / points
    meanEnergy[n] = kept / points
  }
  const level = hannSmooth(residualEnergy, RMS_TURNS)
  for (let n = 0; n < turns; n++) {
    const scale = 1 / Math.sqrt(level[n]! + 1e-20)
    for (let k = n * points; k < (n + 1) * points; k++) out[k] = out[k]! * scale
  }
  return { points, turns, values: out, residualEnergy, meanEnergy }
}

/** The weighted mean of each turn and its neighbours, point by point; turns · points. */
function movingMeans({ points, turns, values }: CutBand): Float32Array {
  const out = new Float32Array(values.length)
  const layout = makeLayout()
  const soundWords = (BLOCK + 2 * REACH) * points
  const sound = layout.take(soundWords)
  const mean = layout.take(BLOCK * points)
  const rows = layout.take(MEAN_TURNS)
  const weights = layout.take(MEAN_TURNS)
  const scales = layout.take(BLOCK)
  const kernels = borrowKernels(layout.total())
  kernels.floats.set(MEAN_WEIGHTS, weights)
  for (let i = 0; i < MEAN_TURNS; i++) kernels.ints[rows + i] = sound + i * points
  for (let first = 0; first < turns; first += BLOCK) {
    const count = Math.min(BLOCK, turns - first)
    loadSamples(kernels.floats, sound, values, (first - REACH) * points, soundWords)
    for (let n = first; n < first + count; n++) {
      let total = 0
      for (let j = -REACH; j <= REACH; j++) if (n + j >= 0 && n + j < turns) total += MEAN_WEIGHTS[j + REACH]!
      kernels.floats[scales + n - first] = 1 / total
    }
    kernels.weightedRows(rows, weights, MEAN_TURNS, points, scales, count, points, mean, points)
    out.set(kernels.floats.subarray(mean, mean + count * points), first * points)
  }
  return out
}

/** Products of every turn with the turns after it, for one band: row n holds lags 0…`lags` − 1. */
export interface BandedGram {
  readonly lags: number
  readonly turns: number
  readonly values: Float32Array
}

/** Similarity of turns in one band at all lags below `lags`: the mean product of their points. */
export function bandedGram(band: ResidualBand, lags: number): BandedGram {
  const { turns, points, values: x } = band
  const values = new Float32Array(turns * lags)
  const layout = makeLayout()
  const soundWords = (BLOCK + lags) * points
  const sound = layout.take(soundWords)
  const products = layout.take(BLOCK * lags)
  const kernels = borrowKernels(layout.total())
  for (let first = 0; first < turns; first += BLOCK) {
    const count = Math.min(BLOCK, turns - first)
    // Turns after the last are silent: their products are 0.
    loadSamples(kernels.floats, sound, x, first * points, soundWords)
    for (let n = 0; n < count; n++) {
      const row = sound + n * points
      kernels.dotRows(row, row, points, lags, points, products + n * lags)
    }
    for (let k = 0; k < count * lags; k++) values[first * lags + k] = kernels.floats[products + k]! / points
  }
  return { lags, turns, values }
}
