import { type Analysis, compare } from '@everyrev/core'
import { LEAN_CAUTION, reasonSentence, SIDE_NOTE, verdictSentences } from '../../render/compareSentences.js'
import { sideRows } from '../../render/compareText.js'
import { SETTLES } from '../texts.js'
import type { CompareAnswer } from '../types.js'

/** The answer of `compare` as the page shows it. @param worth smallest change worth noticing, share of turns */
export function compareClips(
  before: readonly Analysis[],
  after: readonly Analysis[],
  worth: number,
): CompareAnswer {
  const comparison = compare(before, after, { worth })
  const { verdict, reasons } = comparison
  // Why recordings cannot be compared is said first.
  const listed = reasons.slice(verdict === 'not-comparable' ? 1 : 0)
  return {
    verdict,
    sentences: verdictSentences(comparison, SETTLES),
    rows: sideRows(comparison),
    reasons: [
      ...listed.map((reason) => reasonSentence(reason, SETTLES)),
      ...(comparison.change.value === null ? [] : [SIDE_NOTE]),
    ],
    caution: verdict === 'helped' ? LEAN_CAUTION : null,
  }
}
