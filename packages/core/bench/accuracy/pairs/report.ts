import { outOf, percent, renderTable } from '../table.js'
import type { PairOutcome } from './outcome.js'
import { type PairSummary, type Passes, summarisePairs } from './summary.js'
import { CHANGES, type Change, GROUPS } from './types.js'

/** What a comparison must come to. */
const TARGETS: readonly {
  readonly text: string
  readonly change: readonly Change[]
  readonly of: (s: PairSummary) => readonly [part: number, whole: number]
  readonly met: (share: number, passes: Passes) => boolean
}[] = [
  {
    text: 'no change, called helped or worse: at most 5 %',
    change: ['none'],
    of: (s) => [s.wrong, s.pairs],
    met: (share) => share <= 0.05,
  },
  {
    text: 'change of 8 points or more, called rightly: at least 92 % with three, 80 % with one',
    change: ['large'],
    of: (s) => [s.right, s.pairs],
    met: (share, passes) => share >= (passes === 'all' ? 0.92 : 0.8),
  },
  {
    text: 'change of 8 points or more, called the wrong way: none',
    change: ['large'],
    of: (s) => [s.wrong, s.pairs],
    met: (share) => share === 0,
  },
  {
    text: 'change of 3 to 8 points, called rightly: at least 60 % with three, 30 % with one',
    change: ['small'],
    of: (s) => [s.right, s.pairs],
    met: (share, passes) => share >= (passes === 'all' ? 0.6 : 0.3),
  },
  {
    text: '95 % intervals that hold the true change: 90 to 99 %',
    change: ['none', 'small', 'large'],
    of: (s) => [s.held, s.intervals],
    met: (share) => share >= 0.9 && share <= 0.99,
  },
  {
    text: 'clearly different speeds, not comparable: all',
    change: ['speeds'],
    of: (s) => [s.notComparable, s.pairs],
    met: (share) => share === 1,
  },
  {
    text: 'one sound read two ways (twins), called helped or worse: none',
    change: ['twins'],
    of: (s) => [s.wrong, s.pairs],
    met: (share) => share === 0,
  },
]

const PASSES_TITLE: Record<Passes, string> = { all: 'three passes a side', one: 'one pass a side' }
const NAMES: Record<Change, string> = {
  none: 'no change',
  small: '3 to 8 points',
  large: '8 to 33 points',
  speeds: 'speeds apart',
  twins: 'twins',
}

/** Tables of what was said of all pairs: against the targets, by change, and by what makes it hard. */
export function reportPairs(outcomes: readonly PairOutcome[], markdown: boolean): string {
  const heading = (text: string): string => (markdown ? `### ${text}` : `${text}\n${'='.repeat(text.length)}`)
  const sections = [heading('Against what is asked'), targetTable(outcomes, markdown)]
  for (const passes of ['all', 'one'] as const)
    sections.push(heading(`By change, ${PASSES_TITLE[passes]}`), changeTable(outcomes, passes, markdown))
  sections.push(heading('Three passes a side, by what makes it hard'), partTable(outcomes, markdown))
  return sections.join('\n\n')
}

function targetTable(outcomes: readonly PairOutcome[], markdown: boolean): string {
  const rows = TARGETS.map(({ text, change, of, met }) => {
    const pairs = outcomes.filter(({ task }) => change.includes(task.change))
    const cells = (['all', 'one'] as const).flatMap((passes) => {
      const [part, whole] = of(summarisePairs(pairs, passes))
      const target = whole === 0 ? 'n/a' : met(part / whole, passes) ? 'met' : 'missed'
      return [`${percent(part / whole)} (${outOf(part, whole)})`, target]
    })
    return [text, ...cells]
  })
  return table(['asked', PASSES_TITLE.all, 'target', PASSES_TITLE.one, 'target'], rows, markdown)
}

function changeTable(outcomes: readonly PairOutcome[], passes: Passes, markdown: boolean): string {
  const rows = CHANGES.map((change) => {
    const s = summarisePairs(
      outcomes.filter(({ task }) => task.change === change),
      passes,
    )
    const counts = [s.pairs, s.right, s.wrong, s.same, s.unclear, s.notComparable].map(String)
    return [NAMES[change], ...counts, held(s), percent(s.width)]
  })
  const titles = ['true change', 'pairs', 'right way', 'wrong way', 'same', 'unclear', 'not comparable']
  return table([...titles, 'interval holds', 'median width'], rows, markdown)
}

/** Pairs with a figure to judge by, in parts that leave one difficulty each. */
function partTable(outcomes: readonly PairOutcome[], markdown: boolean): string {
  const judged = outcomes.filter(({ truth }) => truth !== null)
  const parts: [string, PairOutcome[]][] = [
    ...GROUPS.map((group): [string, PairOutcome[]] => [
      `harder recording ${group}`,
      judged.filter((o) => o.group === group),
    ]),
    ...[...new Set(judged.map((o) => o.skipping))]
      .sort()
      .map((skipping): [string, PairOutcome[]] => [
        `skipping ${skipping}`,
        judged.filter((o) => o.skipping === skipping),
      ]),
    ...(['first', 'second'] as const).map((source): [string, PairOutcome[]] => [
      `${source} simulator`,
      judged.filter(({ task }) => task.source === source),
    ]),
  ]
  const rows = parts.map(([name, pairs]) => {
    const of = (change: Change) =>
      summarisePairs(
        pairs.filter(({ task }) => task.change === change),
        'all',
      )
    const [none, small, large] = [of('none'), of('small'), of('large')]
    const all = summarisePairs(pairs, 'all')
    return [
      name,
      outOf(none.wrong, none.pairs),
      outOf(small.right, small.pairs),
      outOf(large.right, large.pairs),
      String(small.wrong + large.wrong),
      held(all),
      percent(all.width),
    ]
  })
  const titles = ['', 'no change called', '3 to 8 called', '8 and more called', 'wrong way']
  return table([...titles, 'interval holds', 'median width'], rows, markdown)
}

const held = ({ held: part, intervals }: PairSummary): string => percent(part / intervals)

function table(titles: readonly string[], rows: readonly (readonly string[])[], markdown: boolean): string {
  return renderTable(
    titles.map((title) => ({ title })),
    rows,
    markdown,
  )
}

/** One pair in one line, for finding out where errors come from. */
export function pairLine({ task, error, skipping, group, truth, all, one }: PairOutcome): string {
  const points = (value: number | null): string => (value === null ? 'n/a' : (100 * value).toFixed(1))
  const text = ({ verdict, change, reasons }: PairOutcome['all']): string =>
    `${verdict} ${points(change.value)} [${points(change.low)}, ${points(change.high)}] ${reasons.join(' ')}`
  return [
    `${task.source} ${task.change} ${task.seed}`,
    `${group} ${skipping}`,
    `truth ${points(truth)}`,
    text(all),
    `one: ${text(one)}`,
    error ?? '',
  ]
    .filter(Boolean)
    .join(' | ')
}
