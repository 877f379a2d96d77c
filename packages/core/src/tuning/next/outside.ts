import { type Harm, harmOf, type Knob, knobNamed } from '../knobs.js'
import type { Change, LogWarning, Setting, Trial } from '../types.js'
import { valueText } from '../valueText.js'
import type { Rules } from './rules.js'

/** Knobs that stand beyond the bounds of the rules on the side that harms the engine, each brought back to its bound. */
export function broughtBack(setting: Setting, { bounds }: Rules): Change[] {
  return Object.entries(bounds).flatMap(([name, [low, high]]): Change[] => {
    const knob = knobNamed(name)!
    const stands = setting.get(name)
    if (stands?.value == null) return []
    const sign = stands.value < low - 1e-9 ? -1 : stands.value > high + 1e-9 ? 1 : 0
    if (sign === 0 || !ruins(knob, harmOf(knob, stands.text, sign))) return []
    const value = sign < 0 ? low : high
    return [{ knob: name, from: stands, to: { text: valueText(knob, value, stands), value } }]
  })
}

/**
 * What a trial itself brought beyond the bounds of the rules on the side that harms the engine, one warning a knob: what it changed, or in
 * the first trial whatever stands so.
 */
export function outsideWarnings(trial: Trial, rules: Rules): LogWarning[] {
  const { number, changes, setting } = trial
  return broughtBack(setting, rules)
    .filter(({ knob }) => number === 1 || changes.some((change) => change.knob === knob))
    .map((back) => outsideWarning(trial, back))
}

/** What stands beyond the bounds of the rules after a trial, on the side that harms the engine, whichever trial brought it. */
export function standingOutside(trial: Trial, rules: Rules): LogWarning[] {
  return broughtBack(trial.setting, rules).map((back) => outsideWarning(trial, back))
}

function outsideWarning({ number }: Trial, { knob, from, to }: Change): LogWarning {
  return {
    code: 'beyond-bounds',
    trial: number,
    message: `${knob} ${from!.text} lies beyond what such engines take, on the side that can ruin one: bring it back to ${to.text}, or to what the maker says; where the log is wrong, correct it`,
  }
}

/** A late spark costs pull, and too much oil smokes: neither ruins an engine by itself. */
function ruins({ name }: Knob, harm: Harm | null): boolean {
  return harm !== null && harm !== 'later spark' && !(name === 'premix' && harm === 'leaner')
}
