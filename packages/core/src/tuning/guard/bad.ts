import { HEAD_MARGIN_C } from '../../workshop/heat.js'
import { headToday } from '../heads.js'
import type { History } from '../history.js'
import { saidTrouble } from '../saidTrouble.js'
import { sameSetting } from '../setting.js'
import type { Setting, Trial } from '../types.js'
import { oneRicher, type Step, stepsBetween } from './steps.js'

/** True where a setting is as harmful as one that made trouble or ran too hot. */
export function isAsBad(history: History, setting: Setting): boolean {
  return badTrials(history).some((bad) => isAsHarmful(bad.setting, setting))
}

/** Rides that made trouble or ran too hot, but for those whose setting, or a harsher one, went well since. */
export function badTrials(history: History): Trial[] {
  const { trials } = history.log
  const wentWell = (t: Trial, bad: Trial) =>
    isTroubled(bad) ? t.trouble?.kind === 'none' : ranClear(history, t)
  return trials.filter(
    (bad) =>
      (isHot(history, bad) || isTroubled(bad)) &&
      !trials.some((t) => t.number > bad.number && wentWell(t, bad) && isAsHarmful(bad.setting, t.setting)),
  )
}

/** Rides on which it seized or rattled. */
export function ruinousTrials({ log }: Pick<History, 'log'>): Trial[] {
  return log.trials.filter(({ trouble }) => trouble?.kind === 'seized' || trouble?.kind === 'rattle')
}

/** Rides one step richer than one on which it seized or rattled. */
export function beforeRuin(history: Pick<History, 'log'>): Trial[] {
  return oneRicher(history.log.trials, ruinousTrials(history))
}

/**
 * True where a setting is harsher than one at which it seized or rattled, or than one from which a step leaner led there, whatever was mended
 * since, and no ride there went well.
 */
export function isHarsherThanRuin(history: History, setting: Setting): boolean {
  const rides = history.log.trials.filter((t) => sameSetting(t.setting, setting))
  if (rides.some((t) => ranClear(history, t) && !isTroubled(t))) return false
  return [...ruinousTrials(history), ...beforeRuin(history)].some(
    (edge) => isAsHarmful(edge.setting, setting) && stepsBetween(edge.setting, setting).some(isHarsher),
  )
}

/** The head of a ride in today's air, °C. One that reads too hot is believed whatever else is odd about the ride. */
export function headReached(history: History, trial: Trial): number | null {
  const { headC } = trial
  const known = headToday(trial, history)
  return known ?? (headC !== null && isNearLimit(history, headC) ? headC : null)
}

/** True where the head of a ride was believed, and stays clear of the limit and its margin today. */
export function ranClear(history: History, trial: Trial): boolean {
  const headC = headToday(trial, history)
  return headC !== null && !isNearLimit(history, headC)
}

export function isNearLimit({ log }: History, headC: number): boolean {
  return headC > log.engine.headLimitC - HEAD_MARGIN_C - 1e-9
}

/** True where nothing between two settings relieves the engine: at the second it would stand as at the first, or worse. */
export function isAsHarmful(from: Setting, to: Setting): boolean {
  return !stepsBetween(from, to).some(({ relieves }) => relieves)
}

/** True for a step that may harm by its direction. A later spark relieves as well, and of an unknown step nobody knows. */
export function isHarsher({ harm }: Step): boolean {
  return harm !== null && harm !== 'later spark' && harm !== 'unknown'
}

function isHot(history: History, trial: Trial): boolean {
  const headC = headReached(history, trial)
  return headC !== null && isNearLimit(history, headC)
}

/** True for a ride that made trouble, or whose noise or note sounds like it. */
export function isTroubled(trial: Trial): boolean {
  return (trial.trouble !== null && trial.trouble.kind !== 'none') || saidTrouble(trial) !== null
}
