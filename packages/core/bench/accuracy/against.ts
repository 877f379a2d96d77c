import { mean } from '../../src/math/stats.js'
import type { Outcome } from './outcome.js'
import { standardError, turnsRightOf } from './summary.js'
import { shareOf } from './summaryReal.js'
import { percent, renderTable } from './table.js'
import { groupOf } from './tasks.js'

/** What is compared clip by clip; higher is better except for the ratio's distance. */
const MEASURES: readonly (readonly [string, (outcome: Outcome) => number | null])[] = [
  ['engine', ({ verdict }) => (verdict === 'measured' ? 1 : 0)],
  ['speed right', ({ simulated, real }) => speedShare(simulated?.speed ?? real?.sure)],
  ['turns right', ({ simulated }) => (simulated ? finite(turnsRightOf(simulated)) : null)],
  ['states right', ({ real }) => (real ? finite(mean(real.states.map((s) => (s.right ? 1 : 0)))) : null)],
  ['ratio err', ({ simulated }) => ratioDistance(simulated?.ratio)],
]

/**
 * Differences to an earlier run over the clips both have, with their standard errors: the same clips twice tell far
 * smaller differences apart than two tables do.
 */
export function reportAgainst(
  now: readonly Outcome[],
  before: readonly Outcome[],
  markdown: boolean,
): string {
  const earlier = new Map(before.map((outcome) => [keyOf(outcome), outcome]))
  const groups = new Map<string, [Outcome, Outcome][]>()
  for (const outcome of now) {
    const old = earlier.get(keyOf(outcome))
    if (!old) continue
    for (const name of [groupName(outcome), `${groupName(outcome)}: ${outcome.task.name}`])
      if (name === groupName(outcome) || outcome.simulated)
        groups.set(name, [...(groups.get(name) ?? []), [old, outcome]])
  }
  const rows = [...groups].map(([name, pairs]) => [
    name,
    String(pairs.length),
    ...MEASURES.map(([, of]) => differenceText(pairs, of)),
  ])
  const columns = ['difference, %-points', 'clips', ...MEASURES.map(([name]) => name)].map((title) => ({
    title,
  }))
  return renderTable(columns, rows, markdown)
}

function differenceText(
  pairs: readonly [Outcome, Outcome][],
  of: (outcome: Outcome) => number | null,
): string {
  const differences = pairs.flatMap(([before, now]) => {
    const [a, b] = [of(before), of(now)]
    return a === null || b === null ? [] : [b - a]
  })
  if (differences.length === 0) return ''
  const centre = mean(differences)
  return `${centre >= 0 ? '+' : ''}${percent(centre)} ± ${percent(standardError(differences))}`
}

const groupName = ({ task }: Outcome): string =>
  task.suite === 'simulated' || task.suite === 'second'
    ? `${task.suite} ${groupOf(task.name)}`
    : `${task.suite} ${task.rough ?? ''}`.trim()
const keyOf = ({ task }: Outcome): string =>
  `${task.suite} ${task.source} ${task.rough ?? ''} ${task.name} ${task.seed}`
const finite = (value: number): number | null => (Number.isFinite(value) ? value : null)
const speedShare = (counts: Parameters<typeof shareOf>[0] | undefined): number | null =>
  counts ? finite(shareOf(counts, 'right')) : null
const ratioDistance = (ratio: { value: number | null; truth: number } | undefined): number | null =>
  ratio && ratio.value !== null ? Math.abs(ratio.value - ratio.truth) : null
