import { SPEED_RATE_HZ } from '../crank/constants.js'
import type { Crank, SpeedTrack, Trace } from '../crank/types.js'
import { logistic } from '../math/stats.js'
import { turnEvidence } from './chance.js'
import {
  CALIBRATION,
  COASTING_FROM,
  LOGIT_DOUBT,
  PARTIAL_EACH,
  PARTIAL_FROM,
  PARTIAL_REACH,
  PARTIAL_SURE,
  PARTIAL_TO,
  UNSURE_WITHIN,
} from './constants.js'
import { turnPatterns } from './pattern.js'
import { CANNOT_TELL, FIRED, PARTIAL, type Revolutions, SKIPPED, UNSURE } from './types.js'

export * from './types.js'

/**
 * Labels every turn: fired, skipped, partial or unsure, with its chance and the pattern it belongs to.
 *
 * @returns columns over all turns; a turn under a closed throttle is unsure, since it sounds alike whether it fires or not
 */
export function labelTurns({ turns, speed }: Crank, trace: Trace): Revolutions {
  const { startS, durationS, speedRpm, stretch } = turns
  const { firedLogit, coasting, level } = turnEvidence(trace, turns)
  const cannotTell = (n: number): boolean => coasting[n]! > COASTING_FROM
  const chance = (n: number, doubt: number): number =>
    logistic(CALIBRATION.shift + CALIBRATION.slope * firedLogit[n]! + doubt)
  const column = (told: (n: number) => number, otherwise: number): Float32Array =>
    new Float32Array(startS.length).map((_, n) => (cannotTell(n) ? otherwise : told(n)))
  const firedProbability = column((n) => chance(n, 0), 0.5)
  const pattern = turnPatterns(firedProbability, stretch)
  return {
    timeS: startS,
    durationS,
    speedRpm,
    label: pattern.map((_, n) => (cannotTell(n) ? UNSURE : labelOf(firedProbability, n))),
    firedProbability,
    firedLow: column((n) => chance(n, -LOGIT_DOUBT), 0),
    firedHigh: column((n) => chance(n, LOGIT_DOUBT), 1),
    pattern: pattern.map((code, n) => (cannotTell(n) ? CANNOT_TELL : code)),
    level,
    stretch,
    speedProbability: level.map((_, n) => chanceAt(speed, startS[n]! + durationS[n]! / 2)),
    coasting,
  }
}

/** Chance of the crank speed at a time, 0–1. */
function chanceAt({ speedProbability }: SpeedTrack, timeS: number): number {
  return speedProbability[Math.floor(timeS * SPEED_RATE_HZ)] ?? 0
}

/** Label of a turn from its chance and, in the middle, its neighbours'. */
export function labelOf(fired: ArrayLike<number>, turn: number): number {
  const p = fired[turn]!
  if (p >= PARTIAL_FROM && p <= PARTIAL_TO && bothKindsNear(fired, turn)) return PARTIAL
  if (Math.abs(p - 0.5) < UNSURE_WITHIN) return UNSURE
  return p > 0.5 ? FIRED : SKIPPED
}

/** True where turns near by surely fired and others surely did not: then a turn between them is neither, not a riddle. */
function bothKindsNear(fired: ArrayLike<number>, turn: number): boolean {
  let [sureFired, sureSkipped] = [0, 0]
  for (
    let n = Math.max(0, turn - PARTIAL_REACH);
    n <= Math.min(fired.length - 1, turn + PARTIAL_REACH);
    n++
  ) {
    if (fired[n]! >= PARTIAL_SURE) sureFired++
    if (fired[n]! <= 1 - PARTIAL_SURE) sureSkipped++
  }
  return sureFired >= PARTIAL_EACH && sureSkipped >= PARTIAL_EACH
}
