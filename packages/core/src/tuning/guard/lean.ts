import type { History, SettingScore } from '../history.js'
import { judgeHeard } from '../judge.js'
import type { Setting } from '../types.js'
import { stepsBetween } from './steps.js'

/**
 * True where a setting is leaner than one from which leaner was tried already, by any knob, and was worse: more skipped
 * turns, or less pull. Whichever knob leans it, the engine is at its lean end there, however cool its head.
 */
export function isBeyondLeanEnd({ settings }: History, target: Setting): boolean {
  return settings.some(
    (from) => isLeanEnd(from, settings) && leans(from.setting, target) && !wasRidden(settings, target),
  )
}

function isLeanEnd(from: SettingScore, settings: readonly SettingScore[]): boolean {
  return settings.some((to) => {
    const [step, another] = stepsBetween(from.setting, to.setting)
    // One step, no more: of two the first may have been right.
    if (step?.harm !== 'leaner' || another !== undefined || step.steps > 1.01) return false
    const lostPull = to.trials.some(({ pull }) => pull === 'worse')
    const { verdict, change } = judgeHeard(from.heard, to.heard)
    return verdict === 'worse' || (lostPull && change !== null && change.value > 0)
  })
}

/** Leaner by some knob, and richer by none. */
function leans(from: Setting, to: Setting): boolean {
  const steps = stepsBetween(from, to)
  return steps.some(({ harm }) => harm === 'leaner') && !steps.some(({ enriches }) => enriches)
}

function wasRidden(settings: readonly SettingScore[], target: Setting): boolean {
  return settings.some(({ setting }) => stepsBetween(setting, target).length === 0)
}
