import { foldOf } from './folds.js'
import type { Outcome } from './outcome.js'
import { heading, type ReportOptions } from './report.js'
import { STATE_LIMITS, type StateKind } from './states.js'
import { spreadOf } from './summary.js'
import {
  allStates,
  type RealSummary,
  shareOf,
  summariseFolds,
  summariseReal,
  summariseRecordings,
} from './summaryReal.js'
import { outOf, percent, renderTable } from './table.js'

type MakeTable = (titles: readonly string[], rows: readonly (readonly string[])[]) => string

/** Labelled real recordings: engines, speed, states, coasting, and the spread between recordings. */
export function reportReal(outcomes: readonly Outcome[], options: ReportOptions): string {
  const { markdown } = options
  const all = summariseReal(outcomes)
  const table: MakeTable = (titles, rows) =>
    renderTable(
      titles.map((title) => ({ title })),
      rows,
      markdown,
    )
  const kinds = Object.keys(STATE_LIMITS) as StateKind[]
  const stateRow = (name: string, of: (confidence: 'sure' | 'likely') => { right: number; of: number }) => [
    name,
    outOf(of('sure').right, of('sure').of),
    outOf(of('likely').right, of('likely').of),
  ]
  return [
    heading(
      'Real recordings (labels by one judge), each heard by a model that never heard its fold',
      markdown,
    ),
    `engines found ${outOf(all.engines.right, all.engines.of)}; ` +
      `false engines ${outOf(all.falseEngines.right, all.falseEngines.of)}; ` +
      `overruns scored as clean running ${outOf(all.overrun.of - all.overrun.right, all.overrun.of)}`,
    table(
      [
        'speed within 4 %, labels',
        'frames',
        'right',
        '×½×2 open',
        '×½×2 wrong',
        'off',
        'none',
        'conf. wrong',
      ],
      (['sure', 'likely'] as const).map((confidence) => [confidence, ...speedCells(all, confidence)]),
    ),
    table(
      ['state of at least 6 turns', 'firm labels', 'likely labels'],
      [
        ...kinds.map((kind) => stateRow(kind, (confidence) => all.states[confidence][kind])),
        stateRow('all', (confidence) => allStates(all.states[confidence])),
      ],
    ),
    reportFolds(outcomes, table),
    reportSpread(outcomes, options, table),
  ].join('\n\n')
}

function speedCells(summary: RealSummary, confidence: 'sure' | 'likely'): string[] {
  const counts = summary[confidence]
  const share = (...keys: Parameters<typeof shareOf> extends [unknown, ...infer K] ? K : never) =>
    percent(shareOf(counts, ...keys))
  return [
    String(Object.values(counts).reduce((sum, n) => sum + n, 0)),
    share('right'),
    share('open'),
    share('wrong'),
    share('off'),
    share('missing'),
    share('wrong', 'off'),
  ]
}

/** What each of the models makes of the fold it never heard. */
function reportFolds(outcomes: readonly Outcome[], table: MakeTable): string {
  const versions = new Map(outcomes.map(({ task, ear }) => [foldOf(task.name), ear ?? 'none']))
  const rows = [...summariseFolds(outcomes)].map(([fold, s]) => {
    const firm = allStates(s.states.sure)
    return [
      `${fold}: ${versions.get(fold)}`,
      outOf(s.engines.right, s.engines.of),
      outOf(s.falseEngines.right, s.falseEngines.of),
      percent(shareOf(s.sure, 'right')),
      percent(shareOf(s.sure, 'wrong', 'off')),
      outOf(firm.right, firm.of),
    ]
  })
  const titles = [
    'fold: model without it',
    'engines',
    'false engines',
    'sure right',
    'conf. wrong',
    'firm states',
  ]
  return table(titles, rows)
}

function reportSpread(outcomes: readonly Outcome[], { folds }: ReportOptions, table: MakeTable): string {
  const recordings = [...summariseRecordings(outcomes)]
  const shares = recordings.map(([, s]) => shareOf(s.sure, 'right')).filter(Number.isFinite)
  const tallies = recordings.map(([, s]) => allStates(s.states.sure)).filter((t) => t.of > 0)
  const spread = (list: readonly number[]) => {
    const { mean, sd, lowest } = spreadOf(list)
    return `mean ${percent(mean)} %, spread (sd) ${percent(sd)} %, lowest ${percent(lowest)} %`
  }
  const lines = [
    `by recording: speed right ${spread(shares)} of ${shares.length} recordings; ` +
      `firm states right ${spread(tallies.map((t) => t.right / t.of))} of ${tallies.length}`,
  ]
  if (folds) {
    const rows = recordings.map(([number, s]) => {
      const [firm, likely] = [allStates(s.states.sure), allStates(s.states.likely)]
      const states = [outOf(firm.right, firm.of), outOf(likely.right, likely.of)]
      return [number, outOf(s.engines.right, s.engines.of), ...speedCells(s, 'sure'), ...states]
    })
    const titles = ['recording', 'engines', 'frames', 'right', 'open', 'wrong', 'off', 'none', 'conf. wrong']
    lines.push(table([...titles, 'firm states', 'likely states'], rows))
  }
  return lines.join('\n\n')
}
