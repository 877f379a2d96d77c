import type { History } from '../history.js'
import type { Setting, Trial } from '../types.js'

/** Narrowest squish that anything is suggested to lead to, mm. Common practice, no source; the maker's least gap comes first. */
export const LEAST_SQUISH_MM = 0.8

/**
 * The squish that a setting comes to, mm: as last written in the log, less what gasket was taken out since. A squish changes by as
 * much as the gasket, whether or not the log says so.
 *
 * @returns null where the log does not know the squish, or not which gasket it was measured with
 */
export function squishAt({ log: { trials } }: History, setting: Setting): number | null {
  const squishMm = setting.get('squish')?.value ?? null
  const gasket = setting.get('gasket')
  if (squishMm === null || gasket === undefined) return squishMm
  const measuredWith = gasketWhenMeasured(trials)
  if (gasket.value === null || measuredWith == null) return null
  return squishMm - (measuredWith - gasket.value)
}

/** Gasket that was in when the squish was last written, mm. */
function gasketWhenMeasured(trials: readonly Trial[]): number | null | undefined {
  const turned = (trial: Trial, name: string) => trial.changes.find(({ knob }) => knob === name)
  const measured = trials.findLast((trial) => turned(trial, 'squish'))
  if (measured) return measured.setting.get('gasket')?.value
  const first = trials.find((trial) => turned(trial, 'gasket'))
  return first ? turned(first, 'gasket')!.from?.value : trials[0]?.setting.get('gasket')?.value
}
