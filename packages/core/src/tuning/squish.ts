import { sameValue } from './change.js'
import type { KnobValue, Setting, Trial } from './types.js'

/** Narrowest squish that anything is suggested to lead to, mm. Common practice, no source; the maker's least gap comes first. */
export const LEAST_SQUISH_MM = 0.8

/**
 * The squish that a setting comes to, mm: as written in the log, less what gasket was taken out since. A squish changes by as
 * much as the gasket, whether or not the log says so. One that the log does not have was just measured.
 *
 * @returns null where the log does not know the squish, or not which gasket it was measured with
 */
export function squishAt(
  { log: { trials } }: { readonly log: { readonly trials: readonly Trial[] } },
  setting: Setting,
): number | null {
  const [squish, gasket] = [setting.get('squish'), setting.get('gasket')]
  if (squish?.value == null) return null
  if (gasket === undefined) return squish.value
  const measuredWith = gasketWhenMeasured(trials, squish)
  if (measuredWith === undefined) return squish.value
  if (gasket.value === null || measuredWith === null) return null
  return squish.value - (measuredWith - gasket.value)
}

/** Gasket that was in when a squish was last written, mm; null where nobody knows, undefined where the log does not have that squish. */
function gasketWhenMeasured(trials: readonly Trial[], squish: KnobValue): number | null | undefined {
  const turned = (trial: Trial, name: string) => trial.changes.find(({ knob }) => knob === name)
  const isIt = (value: KnobValue | null | undefined) => value != null && sameValue(value, squish)
  const measured = trials.findLast((trial) => isIt(turned(trial, 'squish')?.to))
  if (measured) return measured.setting.get('gasket')?.value ?? null
  const [first] = trials
  const asBuilt = (name: string) =>
    first && (turned(first, name) ? turned(first, name)!.from : first.setting.get(name))
  return isIt(asBuilt('squish')) ? (asBuilt('gasket')?.value ?? null) : undefined
}
