import { HEAD_MARGIN_C } from '../../workshop/heat.js'
import { credibleHead } from '../heads.js'
import type { History } from '../history.js'
import type { Setting, Trial } from '../types.js'
import { type Step, stepsBetween } from './steps.js'

/** True where a setting is as harmful as one that made trouble or ran too hot. */
export function isAsBad({ log }: History, setting: Setting): boolean {
  return badTrials(log.trials, log.engine.headLimitC).some((bad) =>
    isAsHarmful(stepsBetween(bad.setting, setting)),
  )
}

/** Rides that made trouble or ran too hot, but for those whose setting, or a harsher one, went well since. */
function badTrials(trials: readonly Trial[], limitC: number): Trial[] {
  const isHot = (t: Trial) => t.headC !== null && t.headC >= limitC - HEAD_MARGIN_C
  const isTroubled = ({ trouble }: Trial) => trouble !== null && trouble.kind !== 'none'
  const wentWell = (t: Trial, bad: Trial) =>
    isTroubled(bad) ? t.trouble?.kind === 'none' : credibleHead(t) !== null && !isHot(t)
  return trials.filter(
    (bad) =>
      (isHot(bad) || isTroubled(bad)) &&
      !trials.some(
        (t) => t.number > bad.number && wentWell(t, bad) && isAsHarmful(stepsBetween(bad.setting, t.setting)),
      ),
  )
}

/** True where nothing in the steps relieves the engine: it would stand there as before, or worse. */
function isAsHarmful(steps: readonly Step[]): boolean {
  return !steps.some(({ relieves }) => relieves)
}
