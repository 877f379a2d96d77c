import { clamp } from '../math/stats.js'
import { FIRED, type Revolutions, SKIPPED, UNSURE } from '../revolutions/types.js'
import { EITHER_WAY_SPREAD, EVEN_CHANCE, KNOWN_DISTANCE, MAX_ERROR } from './constants.js'

/** Turns counted as known and the share of skipped ones among them under every believable reading. */
export interface Readings {
  /** Sum of the weights of the turns. */
  readonly known: number
  /** Sums of weight times skipped share: as given, lowest and highest reading. */
  readonly skipped: number
  readonly skippedLow: number
  readonly skippedHigh: number
}

/** Turns of one period of a pattern, by its code; 0 where it has none. */
const PERIOD = [1, 2, 3, 4, 0, 0]

/**
 * How much is known of a turn: 1 when labelled or part of a regular pattern with two kinds of turn; else, when
 * unsure, 0 at an even chance up to 1 at `KNOWN_DISTANCE` from it.
 */
export function knownWeight(revolutions: Revolutions, turn: number): number {
  if (revolutions.label[turn] !== UNSURE) return 1
  if (PERIOD[revolutions.pattern[turn]!]! > 1 && eitherWay(revolutions, turn)) return 1
  return Math.min(1, Math.abs(revolutions.firedProbability[turn]! - 0.5) / KNOWN_DISTANCE)
}

/** True where the bounds say "two kinds of turn, not told which fired". */
export function eitherWay(revolutions: Revolutions, turn: number): boolean {
  const low = revolutions.firedLow[turn]!
  const high = revolutions.firedHigh[turn]!
  return low < 0.5 && high > 0.5 && high - low >= EITHER_WAY_SPREAD
}

/**
 * Reads one state (neighbouring turns of one pattern) in every way its evidence allows.
 *
 * Four ways, the outermost counting: the probabilities as they are; the labels taken as certain; the labels corrected
 * for the rate of errors the probabilities admit (Rogan & Gladen, "Estimating prevalence from the results of a
 * screening test", Am. J. Epidemiology 107, 1978: a clean engine with 5 % wrong labels is clean); and the bounds.
 * Where the bounds say "two kinds of turn, not told which fired", all turns of the state swap together (every third
 * turn fired or every third turn skipped); elsewhere all turns err the same way.
 *
 * @param revolutions all turns
 * @param first first turn of the state
 * @param end one past its last turn
 */
export function readState(revolutions: Revolutions, first: number, end: number): Readings {
  const { label, firedProbability, firedLow, firedHigh, pattern } = revolutions
  const period = PERIOD[pattern[first]!]!
  let known = 0
  let soft = 0
  let hard = 0
  let error = 0
  let straight = 0
  let swapped = 0
  for (let i = first; i < end; i++) {
    const weight = knownWeight(revolutions, i)
    const p = firedProbability[i]!
    const low = Math.min(firedLow[i]!, p)
    const high = Math.max(firedHigh[i]!, p)
    known += weight
    soft += weight * (1 - p)
    hard += weight * (label[i] === FIRED ? 0 : label[i] === SKIPPED ? 1 : 1 - p)
    error += label[i] === FIRED || label[i] === SKIPPED ? weight * Math.min(p, 1 - p) : 0
    // Share of turns like this one that fired under the first reading.
    let fired = 1
    if (eitherWay(revolutions, i)) {
      if (period > 1 && Math.abs(p - 0.5) < EVEN_CHANCE) fired = (period - 1) / period
      else if (p < 0.5) fired = 0
    }
    straight += weight * (1 - (fired * high + (1 - fired) * low))
    swapped += weight * (1 - (fired * low + (1 - fired) * high))
  }
  const corrected = known === 0 ? 0 : (hard - error) / (1 - Math.min(MAX_ERROR, (2 * error) / known))
  const readings = [soft, hard, corrected, straight, swapped]
  return {
    known,
    skipped: soft,
    skippedLow: clamp(Math.min(...readings), 0, known),
    skippedHigh: clamp(Math.max(...readings), 0, known),
  }
}

/** Splits `first … end` into states: neighbours of one stretch and one pattern, as `[first, end]` pairs. */
export function statesWithin(revolutions: Revolutions, first: number, end: number): [number, number][] {
  const states: [number, number][] = []
  let from = first
  for (let i = first + 1; i <= end; i++) {
    const same =
      i < end &&
      revolutions.stretch[i] === revolutions.stretch[from] &&
      revolutions.pattern[i] === revolutions.pattern[from]
    if (same) continue
    states.push([from, i])
    from = i
  }
  return states
}
