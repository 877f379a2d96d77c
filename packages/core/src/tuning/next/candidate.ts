import { CLIP_STEP_C, HEAD_MARGIN_C } from '../../workshop/heat.js'
import type { Effect } from '../effects.js'
import type { SettingScore } from '../history.js'
import { hotterSign, type Knob, knobNamed, leanerSign, wayWord } from '../knobs.js'
import type { Change, KnobValue } from '../types.js'
import { linksOf, type Response, responseOf } from './response.js'
import type { Rules, TryRule } from './rules.js'
import type { Standing } from './standing.js'

/** Head temperature one step hotter adds where it is not leaner, K, unless the log has seen more. Chosen. */
const OTHER_STEP_C = 5

/** One knob that could be turned one way. */
export interface Candidate {
  readonly knob: Knob
  readonly change: Change
  readonly response: Response
  /** Steps, with the sign of the value. */
  readonly steps: number
  readonly leaner: boolean
  /** True when it is leaner or known to make the head hotter. */
  readonly hotter: boolean
}

/**
 * The change a rule asks for from the base setting.
 *
 * @returns null where the log does not know the knob's value, where the value would leave its bounds, or where the engine
 *   could get too hot: nothing leaner or hotter without a head temperature that stays clear of the margin after the step
 */
export function candidateOf(
  rule: TryRule,
  standing: Standing,
  rules: Rules,
  effects: readonly Effect[],
): Candidate | null {
  const { base, history } = standing
  const knob = knobNamed(rule.try)!
  const stands = base?.setting.get(knob.name)
  if (!base || stands?.value == null) return null
  const sign = signOf(rule.way, knob, stands.text)
  if (sign === 0) return null
  const response = responseOf(linksOf(history, knob), knob, stands.value, sign, rule.steps, rules.response)
  const steps = sign * response.steps
  const value = stands.value + steps * knob.step
  const [low, high] = rules.bounds[knob.name] ?? [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY]
  if (value < low - 1e-9 || value > high + 1e-9) return null
  const leaner = leanerSign(knob, stands.text) * steps > 0
  const hotter = hotterSign(knob, stands.text) * steps > 0
  const seen = Math.abs(effects.find((e) => e.knob === knob)?.headC ?? 0)
  const heatC = response.steps * Math.max(leaner ? CLIP_STEP_C : OTHER_STEP_C, seen)
  if (hotter && !staysClear(base, heatC, history.log.engine.headLimitC)) return null
  const to = { text: valueText(knob, value, stands), value }
  return { knob, change: { knob: knob.name, from: stands, to }, response, steps, leaner, hotter }
}

/** True when the head is known to be clear of its margin and stays so `heatC` hotter. */
function staysClear({ headC, head }: SettingScore, heatC: number, limitC: number): boolean {
  return headC !== null && head === 'clear' && headC + heatC < limitC - HEAD_MARGIN_C
}

/** Sign of the value for a way: leaner, richer, or one of the knob's own words. */
function signOf(way: string, knob: Knob, text: string): number {
  if (way === 'leaner') return leanerSign(knob, text)
  if (way === 'richer') return -leanerSign(knob, text)
  return [1, -1].find((sign) => wayWord(knob, text, sign) === way) ?? 0
}

/** A value written the way the log writes that knob. */
function valueText(knob: Knob, value: number, stands: KnobValue): string {
  const number = String(Number(value.toFixed(4)))
  if (knob.kind === 'length') return `${number} mm`
  if (knob.kind === 'ratio') return `${number}:1`
  return stands.text.replace(/^[-+−]?[\d.,/]+/, number)
}
