import { type Analysis, compare, mainRatio, scoreIfLonger } from '@everyrev/core'
import { reasonSentence, verdictSentences } from '../../render/compareSentences.js'
import { ratioText } from '../../render/numbers.js'
import { SURE_WIDTH } from '../../render/shareSentence.js'
import { SETTLES } from '../texts.js'
import type { StillNeeded } from '../types.js'

const ENOUGH = 'That settles it: you may stop.'

/** Seconds beyond which a number would promise too much: then other clips help more. */
const MOST_S = 180

/** The clips a recording is held against; the recording itself stands on side `side`. */
export interface Against {
  readonly before: readonly Analysis[]
  readonly after: readonly Analysis[]
  readonly side: 'before' | 'after'
  readonly worth: number
}

/**
 * What a recording says so far and how much more it takes: with clips on the other side, for the verdict; without, for a
 * share of skipped turns that counts as quite sure.
 */
export function stillNeeded(live: Analysis, { before, after, side, worth }: Against): StillNeeded {
  if (live.verdict !== 'measured') return { text: 'No engine to measure yet.', settled: false, moreS: null }
  const sides = side === 'before' ? [[...before, live], after] : [before, [...after, live]]
  const [first, second] = sides as [readonly Analysis[], readonly Analysis[]]
  return first.length > 0 && second.length > 0 ? verdictSoFar(first, second, worth) : shareSoFar(live)
}

function verdictSoFar(before: readonly Analysis[], after: readonly Analysis[], worth: number): StillNeeded {
  const comparison = compare(before, after, { worth })
  const { verdict, toSettle, reasons } = comparison
  const first = verdictSentences(comparison, SETTLES)[0]!
  if (verdict !== 'unclear') {
    const why = verdict === 'not-comparable' ? reasons.slice(0, 1) : []
    const settled = verdict !== 'not-comparable'
    const more = settled ? [ENOUGH] : why.map((reason) => reasonSentence(reason, SETTLES))
    return { text: [first, ...more].join(' '), settled, moreS: settled ? 0 : null }
  }
  const way = reasons.find(({ code }) => code === 'more-needed' || code === 'cannot-settle')
  return {
    text: `${first} ${way ? reasonSentence(way, SETTLES) : ''}`.trim(),
    settled: false,
    moreS: toSettle ? Math.ceil(toSettle.runningS) : null,
  }
}

function shareSoFar(live: Analysis): StillNeeded {
  const ratio = mainRatio(live)
  if (ratio.value === null || ratio.low === null || ratio.high === null)
    return { text: 'The share of skipped turns cannot be told yet.', settled: false, moreS: null }
  const said = `Skipped so far: ${ratioText(ratio)}.`
  const moreS = secondsToSure(live)
  if (moreS === 0) return { text: `${said} That is quite sure. ${ENOUGH}`, settled: true, moreS: 0 }
  if (moreS === null)
    return { text: `${said} More seconds alone will not make that sure.`, settled: false, moreS: null }
  const more = `About ${moreS} more seconds like these would make it quite sure.`
  return { text: `${said} ${more}`, settled: false, moreS }
}

/**
 * More seconds like those so far until the interval is as narrow as the sentences call quite sure; 0 when it is.
 *
 * @returns whole seconds, or null where three more minutes would not do: part of the interval does not narrow at all
 */
export function secondsToSure(live: Analysis): number | null {
  const lengthS = runningS(live)
  const isSure = (moreS: number): boolean => {
    const { low, high } = mainRatio({ ...live, score: scoreIfLonger(live, 1 + moreS / lengthS) })
    return high! - low! <= SURE_WIDTH
  }
  if (isSure(0)) return 0
  if (!isSure(MOST_S)) return null
  let [tooFew, enough] = [0, MOST_S]
  while (enough - tooFew > 1) {
    const middle = (tooFew + enough) >> 1
    if (isSure(middle)) enough = middle
    else tooFew = middle
  }
  return enough
}

function runningS({ segments }: Analysis): number {
  const steady = segments.filter(({ kind }) => kind === 'steady')
  const counted = steady.length > 0 ? steady : segments.filter(({ kind }) => kind !== 'stopped')
  return counted.reduce((sum, { startS, endS }) => sum + endS - startS, 0)
}
