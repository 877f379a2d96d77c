import { quantile } from '../math/stats.js'

/** Turns looked at from either end of a run. */
const LOOK_TURNS = 32
/** Share of the level of the turns next to it below which a turn at the end of a run is no engine's: −26 dB. Skipped turns of real engines are 0.6 to 5 dB quieter. */
const SILENT_SHARE = 0.05

/**
 * The turns of a run in which the engine sounds: a speed curve may reach a few turns into the silence before and
 * after it, and silent turns would pass for skipped ones.
 *
 * @param level root mean square of every turn, linear
 * @returns first turn and one past the last
 */
export function soundingTurns(level: Float64Array): { first: number; end: number } {
  const first = silentTurns(level)
  return first === level.length
    ? { first: 0, end: level.length }
    : { first, end: level.length - silentTurns(level.slice(first).reverse()) }
}

/** Turns at the start that are silent next to the loud quarter of those after them. */
function silentTurns(level: Float64Array): number {
  for (let n = 0; n < level.length; n++) {
    const loud = quantile(Array.from(level.subarray(n, n + LOOK_TURNS)), 0.75)
    if (level[n]! >= SILENT_SHARE * loud) return n
  }
  return level.length
}
