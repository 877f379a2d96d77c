import type { Harm } from '../knobs.js'
import type { LogWarning, Trial, TuningLog } from '../types.js'
import { MOST_HARMFUL_STEPS } from './judgeState.js'
import { stepsBetween, wasRidden } from './steps.js'

/** Ways that can ruin an engine, as a warning has them. */
const WAYS: Partial<Readonly<Record<Harm, string>>> = {
  leaner: 'leaner',
  'earlier spark': 'earlier',
  tighter: 'tighter',
  'less oil': 'towards less oil',
}

/**
 * Warnings of a trial that went further at once than {@link MOST_HARMFUL_STEPS}, one a knob; none where it goes back to what was ridden
 * before.
 */
export function bigStepWarnings({ trials }: Pick<TuningLog, 'trials'>, trial: Trial): LogWarning[] {
  const before = trials.filter(({ number }) => number < trial.number)
  const last = before.at(-1)
  if (!last || wasRidden(before, trial.setting)) return []
  return stepsBetween(last.setting, trial.setting).flatMap(({ name, harm, steps }): LogWarning[] => {
    const way = harm && WAYS[harm]
    if (!way || steps <= MOST_HARMFUL_STEPS + 0.01) return []
    const message = `the ${name} went ${Math.round(steps)} steps ${way} at once, where each can ruin an engine: go back, and take one or two at a time with an eye on plug and head`
    return [{ code: 'big-step', trial: trial.number, message }]
  })
}
