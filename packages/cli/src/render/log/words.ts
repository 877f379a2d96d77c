import type { Effect, LogVerdict, Setting, Share, Trial } from '@everyrev/core/tuning'
import { changesBetween, changeText, wayWord } from '@everyrev/core/tuning'
import { ratioText, signedText } from '../numbers.js'

/** `12 % (8-16)`, or `3 to 79 %` where that says nothing of the middle. */
export function shareText(share: Share): string {
  return ratioText(share)
}

/** `helped -31`: the verdict and the change in points; `-` where there is none. */
export function verdictText(verdict: LogVerdict | null): string {
  if (verdict === null) return '-'
  if (verdict.change === null) return 'n/a'
  return `${verdict.verdict} ${signedText(100 * verdict.change.value, 0)}`
}

/** What was changed in a trial. */
export function whatChanged({ changes, number }: Trial): string {
  if (changes.length > 0) return changes.map(changeText).join('; ')
  return number === 1 ? 'as built' : 'nothing (repeat)'
}

/** A setting by what differs from the first trial's: `needle clip 3 from bottom, plug gap 0.5 mm`. */
export function settingText(setting: Setting, first: Setting): string {
  const changes = changesBetween(first, setting)
  if (changes.length === 0) return 'the engine as built'
  return changes.map(({ knob, to }) => `${knob} ${to.text}`).join(', ')
}

/** `needle clip, one notch up`, `ignition timing, 2 deg later`: one step of a knob in words. */
export function stepText({ knob, step, text }: Effect): string {
  const size = Math.abs(step)
  const unit = { length: ' mm', angle: ' deg', ratio: ' parts' }[knob.kind as string] ?? ''
  const amount = knob.name === 'needle clip' ? 'one notch' : `${size}${unit}`
  return `${knob.name}, ${amount} ${wayWord(knob, text, step)}`
}
