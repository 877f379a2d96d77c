import { headMargin } from '../../workshop/heat.js'
import { credibleHead, headToday } from '../heads.js'
import type { History } from '../history.js'
import { knobNamed, leanerSign } from '../knobs.js'
import { changesBetween, sameSetting } from '../setting.js'
import type { Change, Setting, Trial } from '../types.js'
import { valueText } from '../valueText.js'
import { badTrials, isAsBad, isAsHarmful, isHarsher, isTroubled } from './bad.js'
import { isContrary } from './heat.js'
import { stepsBetween } from './steps.js'

/** A way out of danger: back to a ride that went well, or one knob as many steps richer as it takes. */
export interface Escape {
  /** What to turn; empty where the log does not know enough. */
  readonly changes: readonly Change[]
  /** Ride it goes back to; null for richer. */
  readonly backTo: Trial | null
}

/** Knobs that make it richer, the quickest to turn first. */
const RICHER = ['needle clip', 'main jet', 'pilot jet'] as const

/**
 * The nearest setting that relieves the engine: an earlier one that is not as harmful as one that ran too hot or made trouble on any ride, of
 * which nothing is leaner, tighter, earlier or with less oil than now; else as many steps richer as lead away from all of those.
 * A setting whose head was read comes before one of which nobody knows how hot it ran.
 */
export function escapeFrom(history: History): Escape {
  const { trials } = history.log
  const now = trials.at(-1)!
  const back = trials
    .slice(0, -1)
    .filter((trial) => isRelief(history, now.setting, trial))
    .map((trial) => ({ trial, steps: stepsBetween(now.setting, trial.setting) }))
    .sort(
      (a, b) =>
        unread(history, a.trial) - unread(history, b.trial) ||
        a.steps.length - b.steps.length ||
        b.trial.number - a.trial.number,
    )[0]
  if (back) return { changes: changesBetween(now.setting, back.trial.setting), backTo: back.trial }
  return { changes: richer(history, now.setting), backTo: null }
}

function isRelief(history: History, now: Setting, trial: Trial): boolean {
  const steps = stepsBetween(now, trial.setting)
  if (steps.length === 0 || madeTrouble(history, trial) || isAsBad(history, trial.setting)) return false
  const headC = headToday(trial, history)
  if (headC !== null && headMargin(headC, history.log.engine.headLimitC).state !== 'clear') return false
  return (
    // A later spark relieves too, where it was ridden and did not heat.
    steps.every(
      (step) => (step.harm === null || step.harm === 'later spark') && !isContrary(history, step),
    ) && steps.some(({ relieves }) => relieves)
  )
}

function madeTrouble({ log }: History, { setting }: Trial): boolean {
  return log.trials.some((t) => sameSetting(t.setting, setting) && (isTroubled(t) || t.pull === 'worse'))
}

/** 1 where no head was read at the setting of a ride, else 0. */
function unread({ log }: History, { setting }: Trial): number {
  return log.trials.some((t) => sameSetting(t.setting, setting) && credibleHead(t) !== null) ? 0 : 1
}

/** One knob richer than all that went badly. Where other knobs were set harsher on top of that, they are turned back as well. */
function richer(history: History, now: Setting): Change[] {
  const alone = richerBy(history, now, isClearOf)
  if (alone.length > 0) return alone
  const lower = withChanges(now, onTop(history, now))
  const [enriched] = richerBy(history, lower, isClearOf)
  if (!enriched) return richerBy(history, now, (bad, target) => !isAsHarmful(bad, target))
  const isFirst = ({ knob }: Change) => Number(knob === enriched.knob)
  return changesBetween(now, withChanges(lower, [enriched])).sort((a, b) => isFirst(b) - isFirst(a))
}

/** What turns back every step that made the setting harsher than the last that went badly. */
function onTop(history: History, now: Setting): Change[] {
  const bad = badTrials(history).at(-1)
  if (!bad) return []
  const harsher = stepsBetween(bad.setting, now).filter(isHarsher)
  return changesBetween(now, bad.setting).filter(({ knob }) => harsher.some(({ name }) => name === knob))
}

/** Relieved against what went badly, and harsher by nothing. */
function isClearOf(bad: Setting, target: Setting): boolean {
  return !isAsHarmful(bad, target) && !stepsBetween(bad, target).some(isHarsher)
}

function richerBy(
  history: History,
  now: Setting,
  isRelieved: (bad: Setting, target: Setting) => boolean,
): Change[] {
  const bad = badTrials(history)
  for (const name of RICHER) {
    const knob = knobNamed(name)!
    const from = now.get(name)
    const sign = from ? -leanerSign(knob, from.text) : 0
    if (from?.value == null || sign === 0) continue
    const high = name === 'needle clip' ? history.log.engine.notches : knob.range[1]
    for (
      let value = from.value + sign * knob.step;
      value >= knob.range[0] && value <= high;
      value += sign * knob.step
    ) {
      const to = { text: valueText(knob, value, from), value }
      const target = new Map([...now, [name, to]])
      if (bad.every(({ setting }) => isRelieved(setting, target))) return [{ knob: name, from, to }]
    }
  }
  return []
}

function withChanges(setting: Setting, changes: readonly Change[]): Setting {
  return new Map([...setting, ...changes.map(({ knob, to }) => [knob, to] as const)])
}
