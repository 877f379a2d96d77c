import type { Stretch } from '../crank/types.js'
import type { Revolutions } from '../labels/types.js'
import { clamp } from '../math/stats.js'
import { isTold } from '../ratio/interval.js'
import type { Ratio, TurnRange } from '../ratio/types.js'

/** Turns of a stretch whose crank speed may be another. */
export interface OpenTurns {
  /** Share of all turns that a ratio rests on, 0–1. */
  readonly share: number
  /** Share of them that was skipped, as they were read, 0–1. */
  readonly value: number
  /** The other reading of the speed as a factor on it, > 0. */
  readonly factor: number
}

/**
 * Widens a ratio's interval so that it also covers the other readings of open crank speeds.
 *
 * The firings stay what they are while the turns are counted `factor` times: a ratio r becomes 1 − (1 − r) / factor,
 * not below 0. Strict alternation at n turns a second and clean running at n / 2 are one sound read in two ways. Each bound moves by what
 * the readings that lower it, or raise it, move it together.
 *
 * @param open stretches that are open; one at the most for every turn
 * @returns the ratio with the same value, `low` and `high` covering all readings
 */
export function coverOpenTurns(ratio: Ratio, open: readonly OpenTurns[]): Ratio {
  const { value: all, low, high } = ratio
  if (all === null || low === null || high === null) return ratio
  const bounds = { low, high }
  for (const { share, value, factor } of open) {
    const other = (r: number): number => clamp(1 - (1 - r) / factor, 0, 1)
    const [least, most] = [clamp(value - (all - low), 0, 1), clamp(value + (high - all), 0, 1)]
    bounds.low -= share * Math.max(0, least - other(least))
    bounds.high += share * Math.max(0, other(most) - most)
  }
  return { ...ratio, low: clamp(bounds.low, 0, 1), high: clamp(bounds.high, 0, 1) }
}

/** {@link coverOpenTurns} for the ratio of spans of turns, from the stretches that they lie in. */
export function coverOpenStretches(
  ratio: Ratio,
  revolutions: Revolutions,
  ranges: readonly TurnRange[],
  stretches: readonly Stretch[],
): Ratio {
  const { stretch, firedProbability } = revolutions
  const told = stretches.map(() => ({ turns: 0, skipped: 0 }))
  let turns = 0
  for (const { firstTurn, endTurn } of ranges)
    for (let n = firstTurn; n < endTurn; n++) {
      const own = told[stretch[n]!]
      if (!own || !isTold(revolutions, n)) continue
      turns++
      own.turns++
      own.skipped += 1 - firedProbability[n]!
    }
  const open = stretches.flatMap(({ ambiguous, alternativeFactor: factor }, k): OpenTurns[] => {
    const own = told[k]!
    if (!ambiguous || factor === null || own.turns === 0) return []
    return [{ share: own.turns / turns, value: own.skipped / own.turns, factor }]
  })
  return coverOpenTurns(ratio, open)
}
