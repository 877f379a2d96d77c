import { sameSetting } from './setting.js'
import type { Trial, TuningLog } from './types.js'

/** A warm head, °C. Chosen wide, no source: below it is no running engine, above it no engine that still runs. */
export const WARM_HEAD_C = [80, 350] as const
/** Air people ride in, °C. Chosen wide. */
export const AIR_C = [-30, 55] as const

/** A warm head below this is not believed: it is more likely °F taken for °C, or a sensor that hangs in the air. Chosen. */
export const CREDIBLE_HEAD_C = 115

/** Airs have to differ this much before heads of one setting tell how the engine follows the air, K. Chosen. */
const AIRS_APART_C = 8

/** By how much the head follows the air, K a K, and whether this very engine showed it. */
export interface AirRise {
  readonly perK: number
  readonly measured: boolean
}

/** The head of a ride as far as it can be believed, °C: of a warm engine, and not implausibly cool. */
export function credibleHead({ headC, airC, warm }: Trial): number | null {
  if (headC === null || warm === false || headC < CREDIBLE_HEAD_C) return null
  return airC !== null && headC <= airC ? null : headC
}

/** The air today: that of the last ride that tells it, °C. */
export function lastAir({ trials }: TuningLog): number | null {
  return trials.findLast(({ airC }) => airC !== null)?.airC ?? null
}

/**
 * How the head follows the air, from rides of one setting in different airs; one for one where none tell (common practice,
 * no source). Kept within 0.7 and 2: beyond that it was something else that changed.
 */
export function airRiseOf({ trials }: TuningLog): AirRise {
  let products = 0
  let squares = 0
  trials.forEach((a, i) => {
    for (const b of trials.slice(i + 1)) {
      const [from, to] = [credibleHead(a), credibleHead(b)]
      if (from === null || to === null || a.airC === null || b.airC === null) continue
      const air = b.airC - a.airC
      if (Math.abs(air) < AIRS_APART_C || !sameSetting(a.setting, b.setting)) continue
      products += (to - from) * air
      squares += air ** 2
    }
  })
  if (squares === 0) return { perK: 1, measured: false }
  return { perK: Math.min(2, Math.max(0.7, products / squares)), measured: true }
}

/** Taken on top of a head that was read in an air nobody wrote down, K. Chosen. */
export const AIR_UNKNOWN_K = 10
/** Air that a ride which does not tell it is taken to have had at the coolest, °C. Chosen: colder, few ride. */
export const COOL_AIR_C = 10

/** The air that advice is for, and how the engine follows it. */
export interface Today {
  readonly todayC: number | null
  /** True where it was said, and so need not be the air of the last ride. */
  readonly airGiven: boolean
  readonly airRise: AirRise
}

/**
 * The head a ride would have shown in today's air, °C. A colder day is no credit: cold air also leans the mixture. Where today's air was said
 * and that of the ride is not in the log, it is allowed for: knowing less must not make bolder.
 *
 * @returns null where the head is not known or not believed
 */
export function headToday(trial: Trial, { todayC, airGiven, airRise: { perK } }: Today): number | null {
  const headC = credibleHead(trial)
  if (headC === null || todayC === null) return headC
  if (trial.airC !== null) return headC + perK * Math.max(0, todayC - trial.airC)
  return airGiven ? headC + Math.max(AIR_UNKNOWN_K, perK * (todayC - COOL_AIR_C)) : headC
}
