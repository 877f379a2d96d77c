import { median } from '../math/stats.js'
import { LEVEL_PER_OCTAVE_DB, LIKE_SPEED, MIN_REFERENCE_POINTS, STEP_S, TAIL_S } from './constants.js'
import type { Leg } from './kinds.js'

/** Bins of speed per unit of its logarithm: 2.5 % wide, several to a like speed. */
const BINS_PER_LOG = 40

/**
 * Level of running under throttle as a function of speed: median level of all points at like speed.
 *
 * @param driving pieces in which speed does not fall
 * @returns a function of the logarithm of speed; null where the clip holds no such running
 */
export function drivingLevel(driving: readonly Leg[]): (logSpeed: number) => number | null {
  const bins = new Map<number, number[]>()
  for (const { series, first, end } of driving) {
    for (let k = first; k < end; k++) {
      const bin = Math.round(series.logSpeed[k]! * BINS_PER_LOG)
      const levels = bins.get(bin)
      if (levels) levels.push(series.levelDb[k]!)
      else bins.set(bin, [series.levelDb[k]!])
    }
  }
  const known = new Map<number, number | null>()
  const reach = Math.round(LIKE_SPEED * BINS_PER_LOG)
  return (logSpeed) => {
    const bin = Math.round(logSpeed * BINS_PER_LOG)
    const before = known.get(bin)
    if (before !== undefined) return before
    const near = Array.from({ length: 2 * reach + 1 }, (_, i) => bins.get(bin - reach + i) ?? []).flat()
    const level = near.length >= MIN_REFERENCE_POINTS ? median(near) : null
    known.set(bin, level)
    return level
  }
}

/**
 * How much quieter a piece is than running under throttle at the same speed, dB.
 *
 * Without such running in the clip: than the end of the piece before, allowing for the lower speed, plus `carried`,
 * what that one was quieter by; without a piece before: 0, there is nothing to compare with.
 */
export function quieterBy(
  leg: Leg,
  levelAt: (logSpeed: number) => number | null,
  before: Leg | undefined,
  carried: number,
): number {
  const { logSpeed, levelDb } = leg.series
  const differences: number[] = []
  for (let k = leg.first; k < leg.end; k++) {
    const level = levelAt(logSpeed[k]!)
    if (level !== null) differences.push(level - levelDb[k]!)
  }
  if (differences.length >= (leg.end - leg.first) / 3) return median(differences)
  if (!before) return 0
  const tailFirst = Math.max(before.first, before.end - Math.round(TAIL_S / STEP_S))
  const tailDb = median(before.series.levelDb.subarray(tailFirst, before.end))
  const octaves = (before.endLog - (leg.startLog + leg.endLog) / 2) / Math.LN2
  return carried + tailDb - Math.max(0, octaves) * LEVEL_PER_OCTAVE_DB - leg.levelDb
}
