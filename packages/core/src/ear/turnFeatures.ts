import { FRAME_RATE_HZ } from './constants.js'
import { levelledPlain, levelledSharp } from './levelled.js'
import { gathered, meanSquare, standing } from './likeTurns.js'
import { drawPictures, type Likeness, likenessOf, POINTS, REACH } from './turnPictures.js'
import { KIND_COLUMNS, SKETCH, SKETCHES, twoKinds } from './twoKinds.js'

/** Turns ahead whose correlations are told one by one. Given by the model, as are all numbers of this file. */
const LAGS = 8
/** Numbers that likeness gives of a turn. */
const LIKENESS = LAGS + 7
/** Parts of a turn over which the ear's log-odds are averaged, and the place of the first of them among the numbers. */
export const PARTS = 8
export const FIRST_PART = 2 * LIKENESS
/** Numbers to a turn: likeness of plain and of pre-emphasised sound, log-odds, what the last reading led to, zeros up to a multiple of eight. */
const FIRST_TOLD = FIRST_PART + PARTS
export const FEATURES = (FIRST_TOLD + KIND_COLUMNS + 7) & -8

/** Turns one after the other without a gap; columns of equal length, seconds within the sound. */
export interface TurnRun {
  readonly startS: Float64Array
  readonly durationS: Float64Array
}

/** What the turns of a run are told by. */
export interface TurnFeatures {
  /** {@link FEATURES} numbers a turn, row by row: how like one another the turns are, and what the ear said of each and of its likes. */
  readonly rows: Float32Array
  /** Pictures of every turn in few parts, {@link SKETCHES} numbers a turn. */
  readonly sketches: Float32Array
}

/** Features of any run of turns of one sound. */
export interface TurnListener {
  of(run: TurnRun): TurnFeatures
}

/**
 * @param sound at 16,000 Hz
 * @param firedLogit log-odds that the present turn fired, one a millisecond
 */
export function makeTurnListener(sound: Float32Array, firedLogit: Float32Array): TurnListener {
  const channels = [levelledPlain(sound), levelledSharp(sound)]
  const total = new Float64Array(firedLogit.length + 1)
  for (let i = 0; i < firedLogit.length; i++) total[i + 1] = total[i]! + firedLogit[i]!
  return {
    of({ startS, durationS }) {
      const turns = startS.length
      const out = new Float32Array(turns * FEATURES)
      const fired = new Float32Array(turns)
      for (let n = 0; n < turns; n++)
        for (let part = 0; part < PARTS; part++) {
          const at = (share: number): number =>
            Math.min(firedLogit.length, Math.max(0, (startS[n]! + durationS[n]! * share) * FRAME_RATE_HZ))
          const [from, to] = [at(part / PARTS), at((part + 1) / PARTS)]
          const sum = sumTo(total, firedLogit, to) - sumTo(total, firedLogit, from)
          const mean = sum / Math.max(to - from, 1e-3)
          out[n * FEATURES + FIRST_PART + part] = mean
          fired[n]! += mean / PARTS
        }
      const sketches = new Float32Array(turns * SKETCHES)
      channels.forEach((channel, c) => {
        const pictures = drawPictures(channel, startS, durationS)
        columnsOf(likenessOf(pictures), fired).forEach((column, k) => {
          put(column, out, c * LIKENESS + k)
        })
        sketch(pictures, sketches, c * SKETCH)
      })
      return { rows: out, sketches }
    },
  }
}

/** The same features, told what an earlier reading of them said. @param logits of every turn */
export function toldAgain({ rows, sketches }: TurnFeatures, logits: Float32Array): TurnFeatures {
  const told = rows.slice()
  twoKinds(sketches, logits).forEach((column, k) => {
    put(column, told, FIRST_TOLD + k)
  })
  return { rows: told, sketches }
}

function put(column: Float32Array, rows: Float32Array, place: number): void {
  for (let n = 0; n < column.length; n++) rows[n * FEATURES + place] = column[n]!
}

/** Pictures in fewer parts. */
function sketch(pictures: Float32Array, sketches: Float32Array, first: number): void {
  const width = POINTS / SKETCH
  for (let i = 0; i < pictures.length; i++) {
    const [turn, part] = [Math.floor(i / POINTS), Math.floor((i % POINTS) / width)]
    sketches[turn * SKETCHES + first + part]! += pictures[i]! / width
  }
}

/** @param fired log-odds that each turn fired */
function columnsOf(likeness: Likeness, fired: Float32Array): Float32Array[] {
  const { ahead, strength, gain, shift } = likeness
  const lags = Array.from({ length: LAGS }, (_, lag) => fired.map((_, n) => ahead[n * REACH + lag]!))
  const once = gathered(likeness, standing(fired))
  const twice = gathered(
    likeness,
    once.map((x) => Math.tanh(4 * x)),
  )
  return [
    ...lags,
    strength,
    gain,
    shift,
    meanSquare(likeness),
    once,
    twice,
    gathered(likeness, standing(gain)),
  ]
}

/** Sum of the values up to a place between them. */
function sumTo(total: Float64Array, values: Float32Array, place: number): number {
  const whole = Math.floor(place)
  return total[whole]! + (place - whole) * (values[whole] ?? 0)
}
