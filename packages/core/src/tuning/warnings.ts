import { HEAD_MARGIN_C, headMargin } from '../workshop/heat.js'
import { degreesText, differenceText } from './degrees.js'
import { listText } from './listText.js'
import { saidTrouble } from './saidTrouble.js'
import { settingsApart } from './setting.js'
import type { LogWarning, Trial, TuningLog } from './types.js'

/**
 * What keeps a trial from being judged fairly, or is bad for the engine, one warning each.
 *
 * @param log the log
 * @param trial one of its trials
 */
export function trialWarnings(log: TuningLog, trial: Trial): LogWarning[] {
  const warnings: LogWarning[] = []
  const warn = (code: LogWarning['code'], message: string) =>
    warnings.push({ code, trial: trial.number, message })
  const { changes, headC } = trial
  if (changes.length > 1) {
    const near = log.trials.find(
      (t) => t.number < trial.number && settingsApart(t.setting, trial.setting) <= 1,
    )
    const list = listText(changes.map(({ knob }) => knob))
    const count = changes.length === 2 ? 'two things' : `${changes.length} things`
    if (!near)
      warn(
        'two-changes',
        `${count} were changed at once (${list}): which of them did it cannot be told; go back and change one at a time`,
      )
  }
  if (trial.warm === false)
    warn('cold', 'the engine was cold: a cold engine skips more and says nothing; repeat it warm')
  if (trial.clips.length === 0)
    warn('no-clip', 'no clip, so nothing was heard; record at least two passes of the same stretch')
  else if (trial.heard.length === 0) warn('not-heard', 'its clips could not be judged; record it again')
  if (trial.trouble !== null && trial.trouble.kind !== 'none')
    warn('trouble', `trouble reported: ${trial.trouble.words}; nothing is tried before its cause is found`)
  const said = saidTrouble(trial)
  if (said)
    warn(
      'said-trouble',
      `${said.field}: “${said.text}” sounds like trouble that ruins engines, and nothing stands under trouble: write it there (everyrev log edit --trial ${trial.number} --trouble seized, or rattle), or none where it was something else; until then nothing is tried`,
    )
  if (headC === null)
    warn('no-head', 'no head temperature: without it nothing leaner or hotter will be suggested')
  else {
    const { state, leftC } = headMargin(headC, log.engine.headLimitC)
    const limit = `${degreesText(log.engine.headLimitC, log.unit)} (${log.engine.limitIsMakers ? 'the maker’s limit' : 'common practice, no source'})`
    if (state === 'over')
      warn(
        'too-hot',
        `the head reached ${degreesText(headC, log.unit)}, at or over ${limit}: stop, let it cool, and set it richer or back before you ride on`,
      )
    if (state === 'near')
      warn(
        'near-limit',
        `the head reached ${degreesText(headC, log.unit)}, ${differenceText(leftC, log.unit)} under ${limit}: keep ${differenceText(HEAD_MARGIN_C, log.unit)} in hand, so go back one step`,
      )
  }
  return warnings
}
