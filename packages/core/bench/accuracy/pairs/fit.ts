import { HEARING, type Hearing, WORTH } from '../../../src/compare/constants.js'
import { difference } from '../../../src/compare/difference.js'
import { verdictOf } from '../../../src/compare/verdict.js'
import { seededRandom } from '../../../src/math/random.js'
import { outOf, percent, renderTable } from '../table.js'
import type { PairOutcome, Said } from './outcome.js'
import { type PairSummary, summarisePairs } from './summary.js'

/** Settings tried: every part of `HEARING` times a factor drawn evenly, in octaves, between half and twice. */
const DRAWS = 500

/** What is asked of a setting: of pairs without change called changed, and of intervals that hold the true change. */
const MOST_CALLED = 0.05
const LEAST_HELD = 0.92

/** Settings shown, best first. */
const SHOWN = 8

/** Ways to leave out pairs: a setting is chosen on the others and scored on those. */
const FOLDS: readonly { readonly name: string; readonly part: (outcome: PairOutcome) => string | number }[] =
  [
    { name: 'left out: every other seed', part: ({ task }) => task.seed % 2 },
    { name: 'left out: a way of skipping', part: ({ skipping }) => skipping },
    { name: 'left out: a kind of recording', part: ({ group }) => group },
  ]

/**
 * Tries other settings of what may be misheard on the pairs of an earlier run.
 *
 * @param outcomes from `--json`, of tuning seeds; those of the second simulator are left for testing
 * @returns the present setting, those that see the most changes within what is asked, and how a setting chosen in this way
 *   does on pairs it was not chosen on
 */
export function reportFit(outcomes: readonly PairOutcome[], markdown: boolean): string {
  const judged = outcomes.filter(({ truth, task }) => truth !== null && task.source === 'first')
  const tried = settings().map((hearing) => ({ hearing, said: sayAll(judged, hearing) }))
  const best = bestOf(tried, () => true).slice(0, SHOWN)
  const rows = [{ hearing: HEARING, said: sayAll(judged, HEARING) }, ...best].map(({ hearing, said }) => [
    ...Object.values(hearing).map((value) => String(Number(value.toFixed(3)))),
    ...cells(said),
  ])
  const folds = FOLDS.map(({ name, part }) => {
    const parts = [...new Set(judged.map(part))]
    const said = parts.flatMap((left) => {
      const chosen = bestOf(tried, (outcome) => part(outcome) !== left)[0]
      return (chosen?.said ?? sayAll(judged, HEARING)).filter((outcome) => part(outcome) === left)
    })
    return [name, ...Object.keys(HEARING).slice(1).fill(''), ...cells(said)]
  })
  const titles = [...Object.keys(HEARING), 'no change called', '3 to 8', '8 and more', 'wrong way', 'holds']
  return renderTable(
    [...titles, 'median width'].map((title) => ({ title })),
    [...rows, ...folds],
    markdown,
  )
}

interface Tried {
  readonly hearing: Hearing
  /** The pairs with what would have been said of them. */
  readonly said: readonly PairOutcome[]
}

function settings(): Hearing[] {
  const random = seededRandom(1)
  const near = (value: number): number => value * 2 ** (2 * random() - 1)
  return Array.from({ length: DRAWS }, () => ({
    priorFreedom: near(HEARING.priorFreedom),
    priorSpread: near(HEARING.priorSpread),
    apartSds: near(HEARING.apartSds),
    alikeSds: near(HEARING.alikeSds),
    scaleSd: near(HEARING.scaleSd),
  }))
}

/** Settings within what is asked on the pairs that count, those that see most first, then the narrowest. */
function bestOf(tried: readonly Tried[], counts: (outcome: PairOutcome) => boolean): Tried[] {
  return tried
    .map((one) => ({ ...one, score: score(one.said.filter(counts)) }))
    .filter(
      ({ score: { none, large, all } }) =>
        none.wrong <= MOST_CALLED * none.pairs && large.wrong === 0 && all.held >= LEAST_HELD * all.intervals,
    )
    .sort((a, b) => b.score.seen - a.score.seen || a.score.all.width - b.score.all.width)
}

interface Score {
  readonly none: PairSummary
  readonly small: PairSummary
  readonly large: PairSummary
  readonly all: PairSummary
  /** Shares of small and large changes that were called rightly, added up. */
  readonly seen: number
}

function score(outcomes: readonly PairOutcome[]): Score {
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

function cells(outcomes: readonly PairOutcome[]): string[] {
  const { none, small, large, all } = score(outcomes)
  return [
    outOf(none.wrong, none.pairs),
    outOf(small.right, small.pairs),
    outOf(large.right, large.pairs),
    String(small.wrong + large.wrong),
    percent(all.held / all.intervals),
    percent(all.width),
  ]
}

function sayAll(judged: readonly PairOutcome[], hearing: Hearing): PairOutcome[] {
  return judged.map((outcome) => ({ ...outcome, all: sayAnew(outcome, hearing) }))
}

function sayAnew({ shares, all }: PairOutcome, hearing: Hearing): Said {
  if (!shares) return all
  const { value, low, high } = difference(shares.before, shares.after, hearing)
  return { verdict: verdictOf({ low, high }, WORTH), change: { value, low, high }, reasons: [] }
}
