import { type Analysis, compare, type Ratio } from '@everyrev/core'
import { reasonSentence, verdictSentences } from '../../render/compareSentences.js'
import { SURE_WIDTH } from '../../render/shareSentence.js'
import { SETTLES } from '../texts.js'
import type { SettleAnswer } from '../types.js'
import { figureText } from './answer.js'

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
export function settle(live: Analysis, { before, after, side, worth }: Against): SettleAnswer {
  if (live.verdict !== 'measured') return { text: 'No engine to measure yet.', settled: false, moreS: null }
  const sides = side === 'before' ? [[...before, live], after] : [before, [...after, live]]
  const [first, second] = sides as [readonly Analysis[], readonly Analysis[]]
  return first.length > 0 && second.length > 0 ? verdictSoFar(first, second, worth) : shareSoFar(live)
}

function verdictSoFar(before: readonly Analysis[], after: readonly Analysis[], worth: number): SettleAnswer {
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

function shareSoFar(live: Analysis): SettleAnswer {
  const { steady, misfireRatio } = live.score
  const ratio = steady.turns > 0 ? steady : misfireRatio
  if (ratio.value === null || ratio.low === null || ratio.high === null)
    return { text: 'The share of skipped turns cannot be told yet.', settled: false, moreS: null }
  const said = `Skipped so far: ${figureText(ratio)}.`
  const moreS = secondsToSure(ratio, runningS(live))
  if (moreS === 0) return { text: `${said} That is quite sure. ${ENOUGH}`, settled: true, moreS: 0 }
  if (moreS > MOST_S)
    return { text: `${said} More seconds alone will not make that sure.`, settled: false, moreS: null }
  const more = `About ${moreS} more seconds like these would make it quite sure.`
  return { text: `${said} ${more}`, settled: false, moreS }
}

/**
 * More seconds until the interval is as narrow as the sentences call quite sure, if it narrows with the root of the
 * length, as the interval of a mean does; 0 when it is.
 */
export function secondsToSure({ low, high }: Ratio, lengthS: number): number {
  const times = ((high! - low!) / SURE_WIDTH) ** 2
  return times <= 1 ? 0 : Math.max(1, Math.ceil((times - 1) * lengthS))
}

function runningS({ segments }: Analysis): number {
  const steady = segments.filter(({ kind }) => kind === 'steady')
  const counted = steady.length > 0 ? steady : segments.filter(({ kind }) => kind !== 'stopped')
  return counted.reduce((sum, { startS, endS }) => sum + endS - startS, 0)
}
