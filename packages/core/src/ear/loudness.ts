import { dot } from '../math/matrix.js'
import { inDeviations, LEAST_SD } from './deviations.js'
import { nearMeans, type Track, type TurnRun } from './turnParts.js'
import { REACH } from './turnWaveforms.js'

/** Parts of a turn whose loudness is told. Given by the model, as are all numbers of this file. */
const PARTS = 8
const CHANNELS = 2
/** Numbers of loudness to a turn: of plain and of pre-emphasised sound. */
export const LOUDNESS = CHANNELS * PARTS
/** Numbers that tell where turns are louder: of both sounds, from half a turn before a turn to half a turn after. */
export const PROFILE = 2 * LOUDNESS
/** Power that is added before loudness is told, where sound has power 1. */
const SOFTEST = 0.01

/**
 * Loudness of the parts of every turn: natural logarithm of power.
 *
 * @param tracks plain and pre-emphasised sound, of one value at least
 * @returns {@link LOUDNESS} numbers a turn
 */
export function loudnessOf(tracks: readonly Track[], run: TurnRun): Float32Array {
  const out = new Float32Array(run.startS.length * LOUDNESS)
  tracks.forEach((track, channel) => {
    putPowers(track, run, out, channel * PARTS)
  })
  return out.map((power) => Math.log(SOFTEST + power))
}

/** Mean of the squares of a track's values over equal parts of each turn, from place `first` of its {@link LOUDNESS} numbers on. */
function putPowers(
  { total, rateHz }: Track,
  { startS, durationS }: TurnRun,
  out: Float32Array,
  first: number,
): void {
  const end = total.length - 1 - 1e-6
  for (let n = 0; n < startS.length; n++) {
    let from = Math.min(end, Math.max(0, startS[n]! * rateHz))
    for (let part = 1; part <= PARTS; part++) {
      const to = Math.min(end, Math.max(0, (startS[n]! + (durationS[n]! * part) / PARTS) * rateHz))
      const [begun, last] = [Math.floor(from), Math.floor(to)]
      let power = (to - last) * (total[last + 1]! - total[last]!) ** 2
      power -= (from - begun) * (total[begun + 1]! - total[begun]!) ** 2
      for (let k = begun; k < last; k++) {
        const value = total[k + 1]! - total[k]!
        power += value * value
      }
      out[n * LOUDNESS + first + part - 1] = power / Math.max(to - from, 1e-3)
      from = to
    }
  }
}

/**
 * Loudness less that of the turns near by, around every turn of a run: the later half of the turn before, the turn, the earlier half
 * of the turn after, {@link PROFILE} numbers a turn; 0 beyond the ends of the run.
 *
 * @param loudness {@link LOUDNESS} numbers a turn
 */
export function louderAround(loudness: Float32Array): Float32Array {
  const means = nearMeans(loudness, LOUDNESS, REACH)
  const turns = loudness.length / LOUDNESS
  const half = PARTS / 2
  const out = new Float32Array(turns * PROFILE)
  for (let n = 0; n < turns; n++)
    for (let channel = 0; channel < CHANNELS; channel++)
      for (let part = -half; part < PARTS + half; part++) {
        const turn = n + Math.floor(part / PARTS)
        if (turn < 0 || turn >= turns) continue
        const from = turn * LOUDNESS + channel * PARTS + ((part + PARTS) % PARTS)
        out[n * PROFILE + channel * 2 * PARTS + part + half] = loudness[from]! - means[from]!
      }
  return out
}

/** How the loudness around turns goes with a column of numbers, one a turn: {@link PROFILE} correlations. */
export type Profiler = (column: ArrayLike<number>) => number[]

/** @param around of the turns of a block, as {@link louderAround} gives it */
export function makeProfiler(around: Float32Array): Profiler {
  const turns = around.length / PROFILE
  const column = new Float64Array(turns)
  const louder = Array.from({ length: PROFILE }, (_, k) => {
    for (let n = 0; n < turns; n++) column[n] = around[n * PROFILE + k]!
    return inDeviations(column, LEAST_SD)
  })
  return (wanted) => {
    const along = inDeviations(wanted, LEAST_SD)
    return louder.map((loud) => dot(loud, along) / turns)
  }
}
