import type { JudgedTrial } from '@everyrev/core/tuning'
import { pointsText } from '../numbers.js'
import { wrap } from '../wrap.js'
import { shareText, whatChanged } from './words.js'

/** What `log add` says: what was added, what was heard, and what the change did by the numbers the log keeps. */
export function addedText(added: JudgedTrial, clips: number, width: number): string {
  const { trial, share, reference, againstReference } = added
  const lines = [`Added trial ${trial.number}: ${whatChanged(trial)}.`]
  if (share) {
    const passes = clips === 1 ? 'one pass' : `${clips} passes`
    lines.push(
      `It skips ${shareText(share)} of its turns over ${passes}. The interval allows for how rides differ, which that of a single clip does not.`,
    )
  }
  if (reference && againstReference?.change) {
    const { value } = againstReference.change
    const size = `${pointsText(Math.abs(value))} ${value < 0 ? 'fewer' : 'more'}`
    lines.push(`Against trial ${reference.number}: ${size}, ${VERDICT_WORDS[againstReference.verdict]}.`)
  } else if (reference && againstReference?.reason) {
    lines.push(`It cannot be compared with trial ${reference.number}: ${againstReference.reason}.`)
  }
  return `${wrap(lines.join(' '), width).join('\n')}\n`
}

const VERDICT_WORDS = {
  helped: 'so it helped',
  worse: 'so it made it worse',
  same: 'no difference worth noticing',
  unclear: 'which may be chance',
  'not-comparable': 'not comparable',
} as const
