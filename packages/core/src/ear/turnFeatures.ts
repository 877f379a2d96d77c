import { mean } from '../math/stats.js'
import { alignTurns } from './alignTurns.js'
import type { Arena } from './arena.js'
import { FRAME_RATE_HZ } from './constants.js'
import { levelledTracks } from './levelled.js'
import { deviationsOf, gathered } from './likeTurns.js'
import { loudnessOf } from './loudness.js'
import { putColumn } from './putColumn.js'
import type { LevelSettings } from './readWeights.js'
import { SKETCH, SKETCHES } from './regression.js'
import { makeTrack, partsOf, type TurnRun } from './turnParts.js'
import { type Likeness, likenessOf, POINTS, REACH } from './turnWaveforms.js'
import { KIND_COLUMNS, makeKindTeller } from './twoKinds.js'

/** Turns ahead whose correlations are told one by one. Given by the model, as are all numbers of this file. */
const LAGS = 8
/** Numbers that likeness gives of a turn. */
const LIKENESS = LAGS + 7
/** Parts of a turn over which the ear's log-odds are averaged, and the place of the first of them among the numbers. */
export const PARTS = 8
export const FIRST_PART = 2 * LIKENESS
/** Places of a turn's strength, gain and shift in its likeness. */
const STRENGTH = LAGS
const GAIN = LAGS + 1
const SHIFT = LAGS + 2
/** Place of what the last reading led to, zeros in the first. */
const FIRST_TOLD = FIRST_PART + PARTS
/** Numbers to a turn: likeness of plain and of pre-emphasised sound, log-odds, what was told, zeros up to a multiple of eight. */
export const FEATURES = (FIRST_TOLD + KIND_COLUMNS + 7) & -8

/** What the turns of a run are told by. */
export interface TurnFeatures {
  /** {@link FEATURES} numbers a turn, row by row: how like one another the turns are, and what the ear said of each and of its likes. */
  readonly rows: Float32Array
  /** Waveforms of every turn in few parts, {@link SKETCHES} numbers a turn. */
  readonly sketches: Float32Array
  /** How loud the parts of every turn are, LOUDNESS numbers a turn. */
  readonly loudness: Float32Array
}

/** Features of any run of turns of one sound. */
export interface TurnListener {
  of(run: TurnRun): TurnFeatures
}

/**
 * @param sound at 16,000 Hz
 * @param firedLogit log-odds that the present turn fired, one a millisecond
 */
export function makeTurnListener(
  arena: Arena,
  level: LevelSettings,
  sound: Float32Array,
  firedLogit: Float32Array,
): TurnListener {
  const [plain, sharp] = levelledTracks(arena, level, sound)
  const logits = makeTrack(firedLogit, FRAME_RATE_HZ)
  return {
    of(run) {
      const aligned = alignTurns(plain, run)
      const turns = run.startS.length
      const rows = new Float32Array(turns * FEATURES)
      const sketches = new Float32Array(turns * SKETCHES)
      const parts = partsOf(logits, aligned, PARTS)
      const fired = new Float32Array(turns)
      for (let n = 0; n < turns; n++) {
        const own = parts.subarray(n * PARTS, (n + 1) * PARTS)
        rows.set(own, n * FEATURES + FIRST_PART)
        fired[n] = mean(own)
      }
      ;[plain, sharp].forEach((channel, c) => {
        const waveforms = partsOf(channel, aligned, POINTS)
        columnsOf(likenessOf(arena, waveforms), fired).forEach((column, k) => {
          putColumn(column, rows, FEATURES, c * LIKENESS + k)
        })
        sketch(waveforms, sketches, c * SKETCH)
      })
      return { rows, sketches, loudness: loudnessOf([plain, sharp], aligned) }
    },
  }
}

/** Makes the rows of later readings: the same, told what the reading before said of every turn, log-odds. */
export function makeRetelling(
  arena: Arena,
  { rows, sketches, loudness }: TurnFeatures,
): (logits: Float32Array) => Float32Array {
  const take = (place: number) =>
    Float32Array.from({ length: rows.length / FEATURES }, (_, n) => rows[n * FEATURES + place]!)
  const parts = Array.from({ length: PARTS }, (_, part) => take(FIRST_PART + part))
  const tellKinds = makeKindTeller(arena, {
    sketches,
    loudness,
    fired: parts[0]!.map((_, n) => mean(parts.map((part) => part[n]!))),
    gains: [take(GAIN), take(LIKENESS + GAIN)],
    strength: take(STRENGTH),
    shift: take(SHIFT),
  })
  const told = rows.slice()
  return (logits) => {
    tellKinds(logits, told, FEATURES, FIRST_TOLD)
    return told
  }
}

/** Waveforms in fewer parts. */
function sketch(waveforms: Float32Array, sketches: Float32Array, first: number): void {
  const width = POINTS / SKETCH
  for (let row = first, i = 0; i < waveforms.length; row += SKETCHES)
    for (let part = row; part < row + SKETCH; part++)
      for (const end = i + width; i < end; i++) sketches[part]! += waveforms[i]! / width
}

/** @param fired log-odds that each turn fired */
function columnsOf(likeness: Likeness, fired: Float32Array): Float32Array[] {
  const { ahead, strength, gain, shift, square } = likeness
  const lags = Array.from({ length: LAGS }, (_, lag) => fired.map((_, n) => ahead[n * REACH + lag]!))
  const once = gathered(likeness, deviationsOf(fired))
  const twice = gathered(
    likeness,
    once.map((x) => Math.tanh(4 * x)),
  )
  return [...lags, strength, gain, shift, square, once, twice, gathered(likeness, deviationsOf(gain))]
}
