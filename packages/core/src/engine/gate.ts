import { WAVE_BANDS } from '../bands/constants.js'
import { logistic, median, quantile, ramp } from '../math/stats.js'
import type { RunTurns } from '../turns/index.js'
import { repeatShare } from './gateBursts.js'
import { colourChangeDb, orderSpread } from './gateColour.js'
import { pitchMoves } from './gatePitch.js'

/** What tells an engine from other sounds that repeat. */
export interface GateFeatures {
  /** Median and lower-quarter salience along the run. */
  readonly salience: number
  readonly weakSalience: number
  /** Share of turn energy that repeats from turn to turn: 500–1,500 Hz waveform, low waveforms. Noise gives 0.13. */
  readonly repeatHigh: number
  readonly repeatLow: number
  /** Share that repeats, noise taken off (0–1), of the waveform at 150–600 Hz and of the bursts in each envelope. */
  readonly waveRepeat: number
  readonly bursts: {
    readonly hz250: number
    readonly hz500: number
    readonly hz1000: number
    readonly above2000: number
  }
  /** Change of colour (one envelope against the mean of all) over a syllable's length, dB. */
  readonly colourChangeDb: number
  /** Spread of energy over orders 1 to 16 of the mean turn, 0 (one tone) to 1 (a pulse). */
  readonly orderSpread: number
  /** Median change of level from one turn to the next, dB. */
  readonly levelJitterDb: number
  /** See {@link PitchMoves}. */
  readonly constantShare: number
  readonly stepShare: number
  /** Length, seconds, and turns. */
  readonly durationS: number
  readonly turns: number
  readonly medianHz: number
}

/** Measures a run for the gate. */
export function gateFeatures(turns: RunTurns): GateFeatures {
  const { run, startS, cuts } = turns
  const [low, middle, high] = WAVE_BANDS.map((band) => {
    const r = turns.residuals[band]!
    return median(Array.from(r.meanEnergy, (m, n) => m / (m + r.residualEnergy[n]! + 1e-20)))
  }) as [number, number, number]
  const burst = (band: number): number => repeatShare(cuts[band]!)
  const level = Array.from(turns.level, (rms) => 20 * Math.log10(rms + 1e-9))
  return {
    salience: median(Array.from(run.salience)),
    weakSalience: quantile(Array.from(run.salience), 0.25),
    repeatHigh: high,
    repeatLow: Math.max(low, middle),
    waveRepeat: repeatShare(cuts[1]!),
    bursts: { hz250: burst(3), hz500: burst(4), hz1000: burst(5), above2000: Math.max(burst(6), burst(7)) },
    colourChangeDb: colourChangeDb(turns),
    orderSpread: orderSpread(turns),
    levelJitterDb: median(level.slice(1).map((db, n) => Math.abs(db - level[n]!))),
    ...pitchMoves(startS),
    durationS: startS.at(-1)! - startS[0]!,
    turns: startS.length - 1,
    medianHz: median(Array.from(run.speedHz)),
  }
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
 * Every feature sets a condition that other sounds fail; the weakest condition decides. Bounds fitted by hand on the
 * open recordings, both simulators and the made sounds of `bench/accuracy/negatives` (seeds below 1,000), 2026-11-25.
 */
export function engineProbability(f: GateFeatures): number {
  if (f.durationS < SHORTEST.durationS || f.turns < SHORTEST.turns) return 0
  const weakest = Math.min(...gateConditions(f), 3)
  return logistic(2 * weakest)
}

/** How well a run meets each condition: 0 is undecided, +1 clearly met, −1 clearly missed. */
export function gateConditions(f: GateFeatures): number[] {
  return [...repeats(f), ...pulses(f), ...wanders(f), ...keepsColour(f)]
}

/**
 * The sound repeats with the turn, all along the run, also above 500 Hz: noise has no salience, crying and crowing come
 * and go, cars repeat strongly but little above 500 Hz, and evenly over all orders. A rough idle repeats in its bursts
 * although its waveform does not; below 1,900 rpm, where hums, purring and cars lie, the waveform has to.
 */
function repeats(f: GateFeatures): number[] {
  const { hz250, hz500, hz1000 } = f.bursts
  const roughness = ramp(f.repeatLow, 0.75, 0.6)
  const bursts = roughness * median([hz250, hz500, hz1000])
  const high = Math.max(f.repeatHigh, bursts)
  return [
    above(f.salience, 0.33, 0.05),
    above(high, 0.22, 0.04),
    above(Math.max(f.repeatLow, bursts + 0.1), 0.39, 0.1),
    above(f.weakSalience / f.salience, 0.57, 0.05) + Math.max(0, above(f.salience, 0.6, 0.15)),
    above(high, 0.36, 0.06) + Math.max(0, above(0.605, f.orderSpread, 0.03), unevenIdle(f)),
    Math.max(above(f.medianHz, 31, 2), above(high, 0.7, 0.06)),
    above(high, 0.3, 0.04) + Math.max(0, above(1, f.salience, 0.05)),
  ]
}

/** Cars run evenly; an idling two-stroke fires every few turns, at 45 turns a second and above, and never alike. */
function unevenIdle(f: GateFeatures): number {
  return (
    1.5 *
    Math.min(above(f.levelJitterDb, 1.25, 0.1), above(0.88, f.salience, 0.05), above(f.medianHz, 42, 1.5), 2)
  )
}

/** Above this speed, turns a second, bursts in bands below 1 kHz run into each other. */
const BURSTS_MERGE_HZ = 170

/**
 * A turn holds bursts, from 250 Hz up to above 1 kHz: ports that open. Gears, commutators and hums repeat as waveforms
 * with even envelopes; rotors at a constant speed have no bursts above 1 kHz. Where noise hides the low waveforms too,
 * nothing follows from hidden bursts.
 */
function pulses(f: GateFeatures): number[] {
  const { hz250, hz500, hz1000, above2000 } = f.bursts
  const low = Math.max(hz250, hz500)
  const wave = Math.max(0.02, f.waveRepeat)
  const hidden = Math.max(0, above(0.62, f.repeatLow, 0.04))
  const muffled = Math.min(above(0.13, f.constantShare, 0.02), above(2.1, f.colourChangeDb, 0.2))
  return [
    above(Math.max(low, (f.medianHz > BURSTS_MERGE_HZ ? 1 : 0.4) * hz1000) / wave, 0.19, 0.04) + hidden,
    Math.max(above(low / wave, 0.15, 0.04), muffled) + hidden,
    Math.max(
      above(Math.max(hz1000, above2000) / Math.max(0.02, low), 0.04, 0.012),
      above(0.12, f.constantShare, 0.02),
    ),
  ]
}

/** The speed wanders: hums are constant, music steps from note to note. */
function wanders(f: GateFeatures): number[] {
  return [above(0.45, f.constantShare, 0.06), above(0.085, f.constantShare * f.stepShare, 0.015)]
}

/**
 * Colour is kept from turn to turn while strength scatters: voices change colour at the pace of syllables, more so when
 * they are as even as no engine is, or as uneven as breath.
 */
function keepsColour(f: GateFeatures): number[] {
  const colour = f.colourChangeDb
  return [
    above(4.3 + 4 * Math.max(0, f.weakSalience - 0.45), colour, 0.6),
    Math.max(above(2.15, colour, 0.15), above(f.levelJitterDb, 0.5, 0.06), above(1, f.salience, 0.1)),
    Math.max(above(2.1, colour, 0.2), above(1.7, f.levelJitterDb, 0.1)),
  ]
}
