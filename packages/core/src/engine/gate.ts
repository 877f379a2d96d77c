import { ENVELOPE_BANDS, WAVE_BANDS } from '../bands/constants.js'
import { median, quantile } from '../math/stats.js'
import type { RunTurns } from '../turns/index.js'
import { residualBand } from '../turns/vectors.js'

/** What tells an engine from other sounds that repeat. */
export interface GateFeatures {
  /** Median and lower-quarter salience along the run. */
  readonly salience: number
  readonly weakSalience: number
  /** Share of turn energy that repeats from turn to turn: 500–1,500 Hz waveform, low waveforms, envelopes (median of bands). */
  readonly repeatHigh: number
  readonly repeatLow: number
  readonly repeatEnvelope: number
  /** Change of colour (one envelope against the mean of all) over a syllable's length, dB. */
  readonly colourChangeDb: number
  /** Spread of energy over orders 1 to 16 of the mean turn, 0 (one tone) to 1 (a pulse). */
  readonly orderSpread: number
  /** Length, seconds, and turns. */
  readonly durationS: number
  readonly turns: number
  /** Robust turn-to-turn jitter of the speed, share. */
  readonly jitter: number
  readonly medianHz: number
  /** Spread of the speed over the run, octaves between the 5 % and 95 % quantiles. */
  readonly sweep: number
}

/** Measures a run for the gate. */
export function gateFeatures(turns: RunTurns): GateFeatures {
  const { run, startS } = turns
  const repeat = turns.cuts.map((cut) => {
    const r = residualBand(cut)
    const shares = Array.from(r.meanEnergy, (m, n) => m / (m + r.residualEnergy[n]! + 1e-20))
    return median(shares)
  })
  const envelopeRepeat = ENVELOPE_BANDS.map((i) => envelopeShare(turns, i))
  const durations = Array.from({ length: startS.length - 1 }, (_, n) => startS[n + 1]! - startS[n]!)
  const jumps = durations.slice(1).map((d, n) => Math.abs(Math.log(d / durations[n]!)))
  const speeds = Array.from(run.speedHz)
  return {
    salience: median(Array.from(run.salience)),
    weakSalience: quantile(Array.from(run.salience), 0.25),
    repeatHigh: repeat[WAVE_BANDS[2]!]!,
    repeatLow: Math.max(repeat[WAVE_BANDS[0]!]!, repeat[WAVE_BANDS[1]!]!),
    repeatEnvelope: median(envelopeRepeat),
    colourChangeDb: colourChangeDb(turns),
    orderSpread: orderSpread(turns),
    durationS: startS.at(-1)! - startS[0]!,
    turns: startS.length - 1,
    jitter: median(jumps),
    medianHz: median(speeds),
    sweep: Math.log2(quantile(speeds, 0.95) / quantile(speeds, 0.05)),
  }
}

/** Share of an envelope's variation within turns that repeats from turn to turn. */
function envelopeShare(turns: RunTurns, band: number): number {
  const cut = turns.cuts[band]!
  const { points } = cut
  const centred = new Float32Array(cut.values.length)
  for (let n = 0; n < cut.turns; n++) {
    let mean = 0
    for (let p = 0; p < points; p++) mean += cut.values[n * points + p]! / points
    for (let p = 0; p < points; p++) centred[n * points + p] = cut.values[n * points + p]! - mean
  }
  const r = residualBand({ ...cut, values: centred })
  return median(Array.from(r.meanEnergy, (m, n) => m / (m + r.residualEnergy[n]! + 1e-20)))
}

/** Length of half a syllable, seconds: speech is brightest and dullest at 3 to 8 changes a second. */
const SYLLABLE_S = 0.12

/** Root mean square change over {@link SYLLABLE_S} of each envelope's level against the mean of all, dB. */
function colourChangeDb(turns: RunTurns): number {
  const { startS } = turns
  const count = startS.length - 1
  const lag = Math.max(1, Math.round(SYLLABLE_S / ((startS[count]! - startS[0]!) / count)))
  const levels = COLOUR_BANDS.map((band) => {
    const { points, values } = turns.cuts[band]!
    const sums = new Float64Array(count + 1)
    for (let n = 0; n < count; n++) {
      let sum = 0
      for (let p = n * points; p < (n + 1) * points; p++) sum += values[p]! ** 4
      sums[n + 1] = sums[n]! + sum / points
    }
    const span = Math.max(1, lag >> 1)
    return Float64Array.from({ length: Math.max(0, count - span) }, (_, n) => {
      return 10 * Math.log10((sums[n + span]! - sums[n]!) / span + 1e-12)
    })
  })
  let sum = 0
  let used = 0
  for (let n = 0; n + lag < levels[0]!.length; n++) {
    const steps = levels.map((x) => x[n + lag]! - x[n]!)
    const mean = steps.reduce((a, b) => a + b, 0) / steps.length
    for (const step of steps) sum += (step - mean) ** 2
    used += steps.length
  }
  return used > 0 ? Math.sqrt(sum / used) : 0
}
const COLOUR_BANDS = [3, 4, 5, 6]

/** Entropy of the energy of orders 1 to 16 in the low and middle waveforms of the mean turn, as a share of its most. */
function orderSpread(turns: RunTurns): number {
  const cut = turns.cuts[1]!
  const { points } = cut
  const orders = 16
  const energy = new Float64Array(orders + 1)
  const group = 8
  for (let first = 0; first + group <= cut.turns; first += group) {
    const mean = new Float64Array(points)
    for (let n = first; n < first + group; n++)
      for (let p = 0; p < points; p++) mean[p] = mean[p]! + cut.values[n * points + p]!
    for (let k = 1; k <= orders; k++) {
      let re = 0
      let im = 0
      for (let p = 0; p < points; p++) {
        const angle = (2 * Math.PI * k * p) / points
        re += mean[p]! * Math.cos(angle)
        im += mean[p]! * Math.sin(angle)
      }
      energy[k] = energy[k]! + re * re + im * im
    }
  }
  const total = energy.reduce((a, b) => a + b, 0)
  if (!(total > 0)) return 0
  let entropy = 0
  for (const e of energy) if (e > 0) entropy -= (e / total) * Math.log(e / total)
  return entropy / Math.log(orders)
}

/** A bound on a feature: z = (value − at) / width; 0 is undecided, +1 clearly an engine's, −1 clearly not. */
function above(value: number, at: number, width: number): number {
  return (value - at) / width
}

/** Longest run, seconds and turns, that is too short to be told from chance. */
const SHORTEST = { durationS: 0.35, turns: 20 }

/**
 * Chance that a run is a small single-cylinder engine, 0–1.
 *
 * Every feature sets a condition that other sounds fail: noise has no salience, rotors and hums no repeating sound
 * above 500 Hz, crying and crowing come and go within the run, voices change colour at the pace of syllables, cars
 * spread evenly over all orders but repeat little above 500 Hz. The weakest condition decides. Bounds fitted on the
 * open recordings and the made sounds of `bench/accuracy/negatives`, 2026-11-25.
 */
export function engineProbability(f: GateFeatures): number {
  if (f.durationS < SHORTEST.durationS || f.turns < SHORTEST.turns) return 0
  const conditions = [
    above(f.salience, 0.33, 0.05),
    above(f.repeatHigh, 0.22, 0.04),
    above(f.repeatLow, 0.42, 0.1),
    above(f.weakSalience / f.salience, 0.57, 0.05) + Math.max(0, above(f.salience, 0.6, 0.2)),
    above(f.repeatHigh, 0.36, 0.06) + Math.max(0, above(0.605, f.orderSpread, 0.03)),
    above(3.9 + 4 * Math.max(0, f.weakSalience - 0.45), f.colourChangeDb, 0.6),
  ]
  const weakest = Math.min(...conditions, 3)
  return 1 / (1 + Math.exp(-2 * weakest))
}
