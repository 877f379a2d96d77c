import { sameValue } from '../change.js'
import { type Judgement, judgeState, squishAt } from '../guard/index.js'
import { type Knob, knobNamed, leanerSign, wayWord } from '../knobs.js'
import type { Change, EngineBuild, KnobValue, Setting } from '../types.js'
import { valueText } from '../valueText.js'
import { linksOf, type Response, responseOf } from './response.js'
import type { Rules, TryRule } from './rules.js'
import type { Situation } from './situation.js'

/** One knob that could be turned one way. */
export interface Candidate {
  readonly knob: Knob
  readonly change: Change
  readonly response: Response
  /** What the guard says of the setting it leads to. */
  readonly judgement: Judgement
}

/**
 * The change a rule asks for from the base setting.
 *
 * @returns null where the log does not know the knob's value, where the value would leave its bounds, or where the guard
 *   does not allow the setting it leads to
 */
export function candidateOf(rule: TryRule, situation: Situation, rules: Rules): Candidate | null {
  const { base, history } = situation
  const knob = knobNamed(rule.try)!
  const stands = base ? standsAt(knob, base.setting, situation) : undefined
  if (!base || stands?.value == null || isShadowed(knob, base.setting)) return null
  const sign = signOf(rule.way, knob, stands.text)
  if (sign === 0) return null
  const wanted = stepsOf(rule, knob, stands.value, sign)
  if (wanted === null) return null
  const response = responseOf(linksOf(history, knob), knob, stands.value, sign, wanted, rules.response)
  const [low, high] = boundsOf(knob, rules, history.log.engine)
  const value = Number((stands.value + sign * response.steps * knob.step).toFixed(6))
  // From outside the bounds one may step towards them.
  if ((sign < 0 && value < low - 1e-9) || (sign > 0 && value > high + 1e-9)) return null
  const to = { text: valueText(knob, value, stands), value }
  const judgement = judgeState(history, new Map([...base.setting, [knob.name, to]]))
  if (!judgement.allowed) return null
  return { knob, change: { knob: knob.name, from: stands, to }, response, judgement }
}

/** What a knob stands at; a squish as the gaskets taken out since have left it. */
function standsAt(knob: Knob, setting: Setting, { history, back }: Situation): KnobValue | undefined {
  const written = setting.get(knob.name)
  if (knob.name !== 'squish' || written?.value == null) return written
  const value = squishAt(history, setting)
  if (value === null) return undefined
  const left = { text: valueText(knob, value, written), value }
  if (sameValue(left, written)) return written
  // On the way back what is written would be turned to, not what was left.
  return back.some((change) => change.knob === 'squish') ? undefined : left
}

/** Steps a rule asks for: so many, or as many as lead to its usual value; null where that lies the other way. */
function stepsOf({ steps, to }: TryRule, knob: Knob, value: number, sign: number): number | null {
  if (to === undefined) return steps
  const far = (sign * (to - value)) / knob.step
  return far < 0.5 ? null : far
}

/** Where the key is shaved the timing is moved by the key, and is not suggested in degrees beside it. */
function isShadowed({ name }: Knob, setting: ReadonlyMap<string, unknown>): boolean {
  return name === 'ignition timing' && setting.has('flywheel key')
}

function boundsOf({ name, range }: Knob, { bounds }: Rules, engine: EngineBuild): readonly [number, number] {
  const [low, high] = bounds[name] ?? range
  if (name === 'needle clip') return [low, Math.min(high, engine.notches)]
  // Half a key has to hold the flywheel.
  const halfKey = name === 'flywheel key' && engine.keyWidthMm !== null ? engine.keyWidthMm / 2 : Infinity
  return [Math.max(low, -halfKey), Math.min(high, halfKey)]
}

/** Sign of the value for a way: leaner, richer, or one of the knob's own words. */
function signOf(way: string, knob: Knob, text: string): number {
  if (way === 'leaner') return leanerSign(knob, text)
  if (way === 'richer') return -leanerSign(knob, text)
  return [1, -1].find((sign) => wayWord(knob, text, sign) === way) ?? 0
}
