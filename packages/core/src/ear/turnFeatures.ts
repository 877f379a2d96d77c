import { FRAME_RATE_HZ } from './constants.js'
import { levelledPlain, levelledSharp } from './levelled.js'
import { LIKENESS, likeness } from './turnPictures.js'

/** Parts of a turn over which the ear's log-odds are averaged. Given by the model. */
export const PARTS = 8
/** Place of the first of them among the numbers of a turn. */
export const FIRST_PART = 2 * LIKENESS
/** Numbers to a turn: likeness of plain and of pre-emphasised sound, log-odds, filled up with zeros to a multiple of eight. */
export const FEATURES = (FIRST_PART + PARTS + 7) & -8

/** Turns one after the other without a gap; columns of equal length, seconds within the sound. */
export interface TurnRun {
  readonly startS: Float64Array
  readonly durationS: Float64Array
}

/** What turns are told by: how like one another they are, and what the ear said of each. */
export interface TurnFeatures {
  /** @returns {@link FEATURES} numbers a turn, row by row */
  of(run: TurnRun): Float32Array
}

/**
 * @param sound at 16,000 Hz
 * @param firedLogit log-odds that the present turn fired, one a millisecond
 */
export function makeTurnFeatures(sound: Float32Array, firedLogit: Float32Array): TurnFeatures {
  const [plain, sharp] = [levelledPlain(sound), levelledSharp(sound)]
  const total = new Float64Array(firedLogit.length + 1)
  for (let i = 0; i < firedLogit.length; i++) total[i + 1] = total[i]! + firedLogit[i]!
  return {
    of({ startS, durationS }) {
      const out = new Float32Array(startS.length * FEATURES)
      likeness(plain, startS, durationS, out, 0, FEATURES)
      likeness(sharp, startS, durationS, out, LIKENESS, FEATURES)
      for (let n = 0; n < startS.length; n++)
        for (let part = 0; part < PARTS; part++) {
          const at = (share: number): number =>
            Math.min(firedLogit.length, Math.max(0, (startS[n]! + durationS[n]! * share) * FRAME_RATE_HZ))
          const [from, to] = [at(part / PARTS), at((part + 1) / PARTS)]
          const sum = sumTo(total, firedLogit, to) - sumTo(total, firedLogit, from)
          out[n * FEATURES + FIRST_PART + part] = sum / Math.max(to - from, 1e-3)
        }
      return out
    },
  }
}

/** Sum of the values up to a place between them. */
function sumTo(total: Float64Array, values: Float32Array, place: number): number {
  const whole = Math.floor(place)
  return total[whole]! + (place - whole) * (values[whole] ?? 0)
}
