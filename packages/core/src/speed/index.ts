import type { BandSignal } from '../bands/index.js'
import { GRID_BANDS } from '../turns/index.js'
import { BINS, binHz, CHANNEL_LEVEL_S, HOP_S } from './constants.js'
import { levelChannel } from './level.js'
import { hzBin, movedTo, type Reading, settleMultiples } from './multiples.js'
import { OCTAVE_SCORE, type OctaveScore, type OctaveVerdict, settleOctave } from './octave.js'
import { refineCurve } from './refine.js'
import { type SalienceMap, salienceMap } from './salience.js'
import { viterbi } from './viterbi.js'

export type * from './types.js'

/** A continuous run of the crank before its turns are cut: an even grid of times with the speed at each. */
export interface SpeedRun {
  readonly timeS: Float64Array
  readonly speedHz: Float64Array
  /** Octave-safe salience at each time, about 0 to 2. */
  readonly salience: Float64Array
  /** Other readings of the whole run, best first: factor on the speed and mean salience a frame; the first is this reading itself. */
  readonly candidates: Reading['candidates']
  /** The other reading that the turns leave closest, null where none comes close. */
  readonly rival: OctaveVerdict['rival']
}

/**
 * Tracks the crank speed through the whole recording.
 *
 * @param channels levelled by this function; one rate
 * @param expectHz lowest and highest speed expected, turns a second; settles multiples, never overrules the sound
 * @param turnBands bands that turns are cut from; by them the multiple is settled
 * @param score settles multiples; another one than the default only to cross-validate it
 * @returns runs in order of time, none where nothing periodic is heard
 */
export function trackSpeed(
  channels: readonly BandSignal[],
  expectHz?: readonly [number, number],
  turnBands: readonly BandSignal[] = [],
  score: OctaveScore = OCTAVE_SCORE,
): SpeedRun[] {
  if (channels.length === 0 || channels[0]!.values.length === 0) return []
  const map = salienceMap(
    channels.map((c) => levelChannel(c, CHANNEL_LEVEL_S)),
    channels[0]!.rateHz,
  )
  const phaseBands = gridBands(turnBands)
  return readings(map, expectHz).map((reading) => {
    const run = runOf(map, reading)
    if (turnBands.length === 0) return run
    const { factor, rival } = settleOctave(run, turnBands, phaseBands, score)
    return { ...(factor === 1 ? run : runOf(map, movedTo(reading, factor))), rival }
  })
}

/** Of the bands that turns are cut from, those that pull the turns into step. */
export const gridBands = (turnBands: readonly BandSignal[]): BandSignal[] =>
  turnBands.filter((_, i) => GRID_BANDS.includes(i))

/** Salience kept in the expected range, as a share of that without it, below which the sound contradicts the range. */
const BELIEVED_SHARE = 0.7

/**
 * Readings at the multiple that lies in the expected range. Where none does, the range is searched by itself, and
 * where the sound is clearly elsewhere the readings without a range stand: a wrong expectation must not bend them.
 */
function readings(map: SalienceMap, expectHz: readonly [number, number] | undefined): Reading[] {
  const track = viterbi(map)
  if (!expectHz) return settleMultiples(map, track)
  const lowBin = Math.max(0, Math.floor(hzBin(expectHz[0])))
  const highBin = Math.min(BINS - 1, Math.ceil(hzBin(expectHz[1])))
  const free = settleMultiples(map, track, lowBin, highBin)
  if (free.some((r) => r.candidates.length > 0)) return free
  const narrowed = settleMultiples(map, viterbi(map, lowBin, highBin), lowBin, highBin)
  const total = (list: readonly Reading[]): number =>
    list.reduce((sum, r) => sum + saliences(map, r, r.bins).reduce((a, b) => a + b, 0), 0)
  return total(narrowed) >= BELIEVED_SHARE * total(free) ? narrowed : free
}

function saliences(map: SalienceMap, reading: Reading, bins: Float64Array): Float64Array {
  return Float64Array.from(bins, (b, k) => {
    const bin = Math.min(BINS - 1, Math.max(0, Math.round(b)))
    return map.values[(reading.firstFrame + k) * BINS + bin]!
  })
}

function runOf(map: SalienceMap, reading: Reading): SpeedRun {
  const bins = refineCurve(map, reading.firstFrame, reading.bins)
  return {
    timeS: Float64Array.from(bins, (_, k) => (reading.firstFrame + k) * HOP_S),
    speedHz: Float64Array.from(bins, binHz),
    salience: saliences(map, reading, bins),
    candidates: reading.candidates,
    rival: null,
  }
}
