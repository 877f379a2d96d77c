import { HEAD_MARGIN_C } from '../../workshop/heat.js'
import { credibleHead } from '../heads.js'
import type { History } from '../history.js'
import type { Harm } from '../knobs.js'
import { LEAST_SQUISH_MM, squishAt } from '../squish.js'
import { isTiming } from '../timing.js'
import type { Setting, Trial } from '../types.js'
import { isAsBad, isHarsherThanRuin } from './bad.js'
import { hottestAt, isContrary } from './heat.js'
import { isBeyondLeanEnd } from './lean.js'
import { type Step, stepsBetween, wasRidden } from './steps.js'

/** Most steps of a knob that may do harm, from where the engine stands to a setting nobody has ridden. Chosen: what heat and mixture do is not a straight line. */
export const MOST_HARMFUL_STEPS = 2

/** What the guard says of a setting somebody wants to ride next. */
export interface Judgement {
  readonly allowed: boolean
  /** What it may do to the engine as it stands now; empty where nothing. */
  readonly harms: readonly Harm[]
  /** Hottest that the head may get there today, °C; null where nobody knows. */
  readonly headC: number | null
  readonly refused: Refusal | null
}

export type Refusal =
  | 'worse when leaner'
  | 'went badly there'
  | 'too far at once'
  | 'running in'
  | 'heated before'
  | 'effect unknown'
  | 'no head'
  | 'too hot'
  | 'squish too narrow'

/**
 * Judges a setting by what it does to the engine as it stands now, whoever suggests it and why.
 *
 * What relieves the engine, or can do it no harm, is allowed. What may lean, advance, tighten, load, take oil away or
 * retard is allowed only where the head was read on the last ride, and stays clear of the margin of its limit by the
 * hottest of what rides near it and the direction of every knob make of it; and not leaner from where leaner was worse,
 * since a cool head does not tell a lean engine. No squish that nobody has ridden is allowed below {@link LEAST_SQUISH_MM}, or where the
 * log does not know it. Nothing is allowed that is as harmful as a
 * setting that made trouble, or harsher than one at or a step before which it seized or rattled, mended or not, and nothing harmful while the engine is run in.
 *
 * @param history the log
 * @param target  the whole setting that would be ridden
 */
export function judgeState(history: History, target: Setting): Judgement {
  const { trials, engine } = history.log
  const now = trials.at(-1)
  const steps = now ? stepsBetween(now.setting, target) : []
  const harmful = steps.filter((step) => step.harm !== null || isContrary(history, step))
  const harms = [...new Set(harmful.map(({ harm }) => harm ?? 'unknown'))]
  const headC = hottestAt(history, target)
  const answer = (refused: Refusal | null): Judgement => ({
    allowed: refused === null,
    harms,
    headC,
    refused,
  })
  if (steps.length === 0) return answer(null)
  if (steps.some(({ name }) => !isTiming(name, target.get(name)!))) return answer('effect unknown')
  if (isAsBad(history, target) || isHarsherThanRuin(history, target)) return answer('went badly there')
  if (harmful.length === 0) return answer(null)
  if (now!.runningIn) return answer('running in')
  if (harmful.some((step) => isContrary(history, step) && goesFurther(trials, step)))
    return answer('heated before')
  if (harms.includes('leaner') && isBeyondLeanEnd(history, target)) return answer('worse when leaner')
  const ridden = wasRidden(trials, target)
  if (!ridden && harmful.some(({ steps }) => steps > MOST_HARMFUL_STEPS + 1e-6))
    return answer('too far at once')
  if (!ridden && harms.includes('tighter') && !((squishAt(history, target) ?? 0) > LEAST_SQUISH_MM - 1e-6))
    return answer('squish too narrow')
  if (credibleHead(now!) === null) return answer('no head')
  if (headC === null) return answer(harms.includes('unknown') ? 'effect unknown' : 'no head')
  return answer(headC < engine.headLimitC - HEAD_MARGIN_C ? null : 'too hot')
}

/** True where a step takes its knob beyond anything that was ridden. */
function goesFurther(trials: readonly Trial[], { name, sign, to }: Step): boolean {
  if (to === null) return true
  return !trials.some(({ setting }) => {
    const value = setting.get(name)?.value
    return value != null && sign * (value - to) > -1e-6
  })
}
