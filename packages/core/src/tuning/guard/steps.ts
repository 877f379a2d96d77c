import { type Harm, harmOf, type Knob, knobNamed } from '../knobs.js'
import { changesBetween, sameSetting } from '../setting.js'
import { isTiming } from '../timing.js'
import type { Setting } from '../types.js'

/** What turning one knob from one setting to another does to the engine. */
export interface Step {
  /** Null for a knob the program does not know. */
  readonly knob: Knob | null
  readonly name: string
  /** Sign of the value's change; 0 where it has no number. */
  readonly sign: -1 | 0 | 1
  /** Value it leads to, in the knob's base unit; null where it has no number. */
  readonly to: number | null
  /** How many steps of the knob, > 0. */
  readonly steps: number
  /** What it may do; null where its direction is harmless. */
  readonly harm: Harm | null
  /** True where the opposite way would lean, tighten, advance, load or take oil away: this way relieves the engine. */
  readonly relieves: boolean
  /** True where it makes the mixture richer. */
  readonly enriches: boolean
}

/** All that differs between two settings, as steps with their direction; empty where they are one. */
export function stepsBetween(from: Setting, to: Setting): Step[] {
  return changesBetween(from, to).map(({ knob: name, from: was, to: is }) => {
    const knob = knobNamed(name) ?? null
    const isDoubtful = [was, is].some((value) => value && !isTiming(name, value))
    if (knob === null || was?.value == null || is.value === null || isDoubtful)
      return { knob, name, sign: 0, to: null, steps: 1, harm: 'unknown', relieves: false, enriches: false }
    const sign = is.value > was.value ? 1 : -1
    const harm = harmOf(knob, is.text, sign)
    const opposite = harmOf(knob, is.text, -sign)
    return {
      knob,
      name,
      sign,
      to: is.value,
      steps: Math.abs(is.value - was.value) / knob.step,
      harm,
      relieves:
        (harm === null || harm === 'later spark') &&
        opposite !== null &&
        opposite !== 'unknown' &&
        opposite !== 'later spark',
      enriches: opposite === 'leaner',
    }
  })
}

/** Steps up to this count as one. Chosen: room for a rounding. */
const ONE_STEP = 1.01

/** True where one step of one knob leads to a leaner setting, no more: of two the first may have been right. */
export function isOneLeaner(from: Setting, to: Setting): boolean {
  const [step, another] = stepsBetween(from, to)
  return step?.harm === 'leaner' && another === undefined && step.steps <= ONE_STEP
}

/** What an engine was ridden at: a trial, or all trials of one setting. */
interface Ridden {
  readonly setting: Setting
}

/** Those from which one step leaner leads to one of `ends`. */
export function oneRicher<T extends Ridden>(rides: readonly T[], ends: readonly Ridden[]): T[] {
  return rides.filter(({ setting }) => ends.some((end) => isOneLeaner(setting, end.setting)))
}

/** True where the engine was at a setting before. */
export function wasRidden(rides: readonly Ridden[], target: Setting): boolean {
  return rides.some(({ setting }) => sameSetting(setting, target))
}
