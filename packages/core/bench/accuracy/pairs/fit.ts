import { HEARING, type Hearing, WORTH } from '../../../src/compare/constants.js'
import { difference } from '../../../src/compare/difference.js'
import { verdictOf } from '../../../src/compare/verdict.js'
import { outOf, percent, renderTable } from '../table.js'
import type { PairOutcome, Said } from './outcome.js'
import { type PairSummary, summarisePairs } from './summary.js'

/** Factors on each part of `HEARING` that are tried, every one with every other. */
const FACTORS: Readonly<Record<keyof Hearing, readonly number[]>> = {
  priorFreedom: [0.5, 1, 2],
  apartSds: [0.7, 1, 1.4],
  mostApart: [1],
  readingSds: [0.7, 1, 1.4],
  alikeSds: [0.5, 1, 2],
  scaleSd: [0.5, 1, 1.5],
}

/** What is asked of a setting: of pairs without change called changed, and of intervals that hold the true change. */
const MOST_CALLED = 0.05
const LEAST_HELD = 0.92

/** Settings shown, best first. */
const SHOWN = 12

/**
 * Tries other settings of what may be misheard on the pairs of an earlier run.
 *
 * @param outcomes from `--json`, of tuning seeds; those of the second simulator are left for testing
 * @returns the present setting, then those that see the most changes within what is asked
 */
export function reportFit(outcomes: readonly PairOutcome[], markdown: boolean): string {
  const judged = outcomes.filter(({ truth, task }) => truth !== null && task.source === 'first')
  const tried = settings().map((hearing) => ({ hearing, ...score(judged, hearing) }))
  const good = tried
    .filter(
      ({ none, all }) => none.wrong <= MOST_CALLED * none.pairs && all.held >= LEAST_HELD * all.intervals,
    )
    .sort((a, b) => b.seen - a.seen)
  const rows = [{ hearing: HEARING, ...score(judged, HEARING) }, ...good.slice(0, SHOWN)].map(
    ({ hearing, none, small, large, all }) => [
      ...Object.values(hearing).map((value) => String(Number(value.toFixed(3)))),
      outOf(none.wrong, none.pairs),
      outOf(small.right, small.pairs),
      outOf(large.right, large.pairs),
      String(small.wrong + large.wrong),
      percent(all.held / all.intervals),
    ],
  )
  const titles = [...Object.keys(HEARING), 'no change called', '3 to 8', '8 and more', 'wrong way', 'holds']
  return renderTable(
    titles.map((title) => ({ title })),
    rows,
    markdown,
  )
}

function settings(): Hearing[] {
  let list: Hearing[] = [HEARING]
  for (const name of Object.keys(FACTORS) as (keyof Hearing)[])
    list = list.flatMap((hearing) =>
      FACTORS[name].map((factor) => ({ ...hearing, [name]: factor * HEARING[name] })),
    )
  return list
}

interface Score {
  readonly none: PairSummary
  readonly small: PairSummary
  readonly large: PairSummary
  readonly all: PairSummary
  /** Shares of small and large changes that were called rightly, added up. */
  readonly seen: number
}

function score(judged: readonly PairOutcome[], hearing: Hearing): Score {
  const outcomes = judged.map((outcome) => ({ ...outcome, all: sayAnew(outcome, hearing) }))
  const of = (change: string) =>
    summarisePairs(
      outcomes.filter(({ task }) => task.change === change),
      'all',
    )
  const [none, small, large] = [of('none'), of('small'), of('large')]
  return {
    none,
    small,
    large,
    all: summarisePairs(outcomes, 'all'),
    seen: small.right / small.pairs + large.right / large.pairs,
  }
}

function sayAnew({ shares, all }: PairOutcome, hearing: Hearing): Said {
  if (!shares) return all
  const { value, low, high } = difference(shares.before, shares.after, hearing)
  return { verdict: verdictOf({ low, high }, WORTH), change: { value, low, high }, reasons: [] }
}
