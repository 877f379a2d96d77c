import type { History, SettingScore } from '../history.js'
import { judgeHeard } from '../judge.js'
import type { Setting } from '../types.js'
import { badTrials, beforeRuin } from './bad.js'
import { isOneLeaner, oneRicher, stepsBetween, wasRidden } from './steps.js'

/**
 * True where a setting is leaner than one from which leaner was tried already, by any knob, and was worse: more skipped
 * turns, less pull, a head too hot, or it seized or rattled, whatever was mended since. Whichever knob leans it, the engine is at its lean end
 * there, however cool its head.
 */
export function isBeyondLeanEnd(history: History, target: Setting): boolean {
  const { settings } = history
  const leanEnds = [
    ...settings.filter((from) => isLeanEnd(from, settings)),
    ...oneRicher(settings, badTrials(history)),
    ...beforeRuin(history),
  ]
  return !wasRidden(settings, target) && leanEnds.some(({ setting }) => leans(setting, target))
}

function isLeanEnd(from: SettingScore, settings: readonly SettingScore[]): boolean {
  return settings.some((to) => {
    if (!isOneLeaner(from.setting, to.setting)) return false
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
