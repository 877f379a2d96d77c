import type { CutBand } from './cut.js'
import { hannSmooth } from './grid.js'

/** Turns over which the steady part of the sound is averaged and taken away. */
export const MEAN_TURNS = 9
/** Turns over which what is left is levelled. */
const RMS_TURNS = 19

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

/** Takes the Hann-weighted mean over {@link MEAN_TURNS} away from each turn and levels the rest. */
export function residualBand(cut: CutBand): ResidualBand {
  const { points, turns, values } = cut
  const half = (MEAN_TURNS - 1) / 2
  const weights = Array.from(
    { length: MEAN_TURNS },
    (_, i) => Math.cos((Math.PI * (i - half)) / (MEAN_TURNS + 1)) ** 2,
  )
  const out = new Float32Array(values.length)
  const mean = new Float64Array(points)
  const residualEnergy = new Float64Array(turns)
  const meanEnergy = new Float64Array(turns)
  for (let n = 0; n < turns; n++) {
    mean.fill(0)
    let total = 0
    for (let j = -half; j <= half; j++) {
      const m = n + j
      if (m < 0 || m >= turns) continue
      const w = weights[j + half]!
      total += w
      for (let p = 0; p < points; p++) mean[p] = mean[p]! + w * values[m * points + p]!
    }
    let rest = 0
    let kept = 0
    for (let p = 0; p < points; p++) {
      const average = mean[p]! / total
      const r = values[n * points + p]! - average
      out[n * points + p] = r
      rest += r * r
      kept += average * average
    }
    residualEnergy[n] = rest / points
    meanEnergy[n] = kept / points
  }
  const level = hannSmooth(residualEnergy, RMS_TURNS)
  for (let n = 0; n < turns; n++) {
    const scale = 1 / Math.sqrt(level[n]! + 1e-20)
    for (let p = 0; p < points; p++) out[n * points + p] = out[n * points + p]! * scale
  }
  return { points, turns, values: out, residualEnergy, meanEnergy }
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
  for (let n = 0; n < turns; n++) {
    const a = n * points
    for (let lag = 0; lag < lags && n + lag < turns; lag++) {
      const b = (n + lag) * points
      let sum = 0
      for (let p = 0; p < points; p++) sum += x[a + p]! * x[b + p]!
      values[n * lags + lag] = sum / points
    }
  }
  return { lags, turns, values }
}
