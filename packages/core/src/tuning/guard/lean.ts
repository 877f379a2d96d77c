import type { History, SettingScore } from '../history.js'
import { judgeHeard } from '../judge.js'
import type { Setting } from '../types.js'
import { ruinousTrials } from './bad.js'
import { stepsBetween } from './steps.js'

/** Steps up to this count as one. Chosen: room for a rounding. */
const ONE_STEP = 1.01

/**
 * True where a setting is leaner than one from which leaner was tried already, by any knob, and was worse: more skipped
 * turns, less pull, or it seized or rattled, whatever was mended since. Whichever knob leans it, the engine is at its lean end there, however cool its head.
 */
export function isBeyondLeanEnd(history: History, target: Setting): boolean {
  const { settings, log } = history
  const leanEnds = [
    ...settings.filter((from) => isLeanEnd(from, settings)),
    ...log.trials.filter((from) => ruinousTrials(history).some((ruin) => isOneLeaner(from, ruin))),
  ]
  return !wasRidden(settings, target) && leanEnds.some(({ setting }) => leans(setting, target))
}

function isLeanEnd(from: SettingScore, settings: readonly SettingScore[]): boolean {
  return settings.some((to) => {
    if (!isOneLeaner(from, to)) return false
    const lostPull = to.trials.some(({ pull }) => pull === 'worse')
    const { verdict, change } = judgeHeard(from.heard, to.heard)
    return verdict === 'worse' || (lostPull && change !== null && change.value > 0)
  })
}

/** True where one step of one knob leads to a leaner setting, no more: of two the first may have been right. */
function isOneLeaner(from: { readonly setting: Setting }, to: { readonly setting: Setting }): boolean {
  const [step, another] = stepsBetween(from.setting, to.setting)
  return step?.harm === 'leaner' && another === undefined && step.steps <= ONE_STEP
}

/** Leaner by some knob, and richer by none. */
function leans(from: Setting, to: Setting): boolean {
  const steps = stepsBetween(from, to)
  return steps.some(({ harm }) => harm === 'leaner') && !steps.some(({ enriches }) => enriches)
}

function wasRidden(settings: readonly SettingScore[], target: Setting): boolean {
  return settings.some(({ setting }) => stepsBetween(setting, target).length === 0)
}
