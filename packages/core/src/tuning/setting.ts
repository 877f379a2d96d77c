import { OptionError } from '../errors.js'
import { sameValue } from './change.js'
import { findKnob } from './knobs.js'
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

/** The knob that a setting is of, whichever of its names it is written by. */
export function knobOfSetting(name: string): string {
  return findKnob(name)?.knob.name ?? name.toLowerCase()
}

/** The earlier name of the same knob among names of settings; undefined where that knob was not set before. */
export function earlierName(names: readonly string[], index: number): string | undefined {
  const knob = knobOfSetting(names[index]!)
  return names.slice(0, index).findLast((name) => knobOfSetting(name) === knob)
}

/**
 * Refuses two settings of one knob, of which only one could count.
 *
 * @param names as written
 * @throws {OptionError} `conflict`
 */
export function checkSettingNames(names: readonly string[]): void {
  names.forEach((name, i) => {
    const earlier = earlierName(names, i)
    if (earlier === undefined) return
    const what =
      earlier === name
        ? `“${name}” is there twice`
        : `“${earlier}” and “${name}” are one knob, ${knobOfSetting(name)}`
    throw new OptionError('conflict', `settings: ${what}`, 'give one of them')
  })
}
