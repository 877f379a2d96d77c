import { sameValue } from './change.js'
import type { Change, KnobValue, Setting } from './types.js'

/** How many knobs differ between two settings; a knob only one of them knows does not count. */
export function settingsApart(a: Setting, b: Setting): number {
  return changesBetween(a, b).length
}

export function sameSetting(a: Setting, b: Setting): boolean {
  return settingsApart(a, b) === 0
}

/** The changes that lead from one setting to another. */
export function changesBetween(a: Setting, b: Setting): Change[] {
  const changes: Change[] = []
  for (const [knob, to] of b) {
    const from: KnobValue | undefined = a.get(knob)
    if (from && !sameValue(from, to)) changes.push({ knob, from, to })
  }
  return changes
}
