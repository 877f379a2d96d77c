import type { Judged } from './judged.js'
import { covering, nearest } from './match.js'

/** Wrong readings that have a name: the sound repeats at these multiples of the crank speed too. */
export const MULTIPLES = [1 / 2, 2, 3 / 2, 2 / 3, 1 / 3, 3, 1 / 4, 4, 3 / 4, 4 / 3] as const
/** How near to a multiple a wrong speed has to be to be called one. */
export const MULTIPLE_TOLERANCE = 0.04

/**
 * What became of the speed at one moment: `right`; a multiple of it with the right reading named as the alternative
 * (`open`) or not (`wrong`); some other speed (`off`); nothing found (`missing`).
 */
export type SpeedOutcome = 'right' | 'open' | 'wrong' | 'off' | 'missing'
export type SpeedCounts = Record<SpeedOutcome, number>

export const noSpeeds = (): SpeedCounts => ({ right: 0, open: 0, wrong: 0, off: 0, missing: 0 })

/** Speed found at a moment, rpm: that of the turn there, else of the track; NaN where nothing was found. */
export function speedAt(analysis: Judged, atS: number): number {
  if (analysis.verdict !== 'measured') return Number.NaN
  const { revolutions, speed } = analysis
  const turn = covering(revolutions, atS)
  if (turn >= 0) return revolutions.speedRpm[turn]!
  const frame = nearest(speed.timeS, atS)
  const hopS = speed.timeS.length > 1 ? speed.timeS[1]! - speed.timeS[0]! : 0
  return frame >= 0 && Math.abs(speed.timeS[frame]! - atS) <= hopS ? speed.speedRpm[frame]! : Number.NaN
}

/** Judges the speed at one moment against the true one, right within `tolerance` (a share). */
export function judgeSpeed(analysis: Judged, atS: number, truthRpm: number, tolerance: number): SpeedOutcome {
  const found = speedAt(analysis, atS)
  if (!(found > 0)) return 'missing'
  const ratio = found / truthRpm
  if (within(ratio, 1, tolerance)) return 'right'
  if (!isMultiple(ratio)) return 'off'
  const factor = alternativeAt(analysis, atS)
  return factor !== null && within(ratio * factor, 1, MULTIPLE_TOLERANCE) ? 'open' : 'wrong'
}

/** What became of the speed of a whole clip at even speed, by its median. */
export type Reading = 'right' | 'right, open' | 'open' | 'wrong' | 'not found'

/** Judges a clip's median speed: the question twins put. */
export function judgeReading(analysis: Judged, truthRpm: number): Reading {
  const { medianRpm, alternativeRpm, ambiguous, verdict } = analysis
  if (verdict !== 'measured' || medianRpm === null) return 'not found'
  if (within(medianRpm / truthRpm, 1, MULTIPLE_TOLERANCE)) return ambiguous ? 'right, open' : 'right'
  const named =
    ambiguous && alternativeRpm !== null && within(alternativeRpm / truthRpm, 1, MULTIPLE_TOLERANCE)
  return named ? 'open' : 'wrong'
}

/** The other reading on offer at a moment as a factor on the speed; null where the speed is given as certain. */
function alternativeAt(analysis: Judged, atS: number): number | null {
  const stretch = analysis.speed.stretches.find((s) => s.startS <= atS && atS <= s.endS)
  if (stretch) return stretch.ambiguous ? stretch.alternativeFactor : null
  const { ambiguous, alternativeRpm, medianRpm } = analysis
  return ambiguous && alternativeRpm && medianRpm ? alternativeRpm / medianRpm : null
}

/** True when a wrong speed is one of the multiples with a name. */
export function isMultiple(ratio: number): boolean {
  return MULTIPLES.some((multiple) => within(ratio, multiple, MULTIPLE_TOLERANCE))
}

const within = (value: number, target: number, tolerance: number): boolean =>
  Math.abs(value / target - 1) <= tolerance
