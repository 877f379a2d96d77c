import { BIN_EDGES } from './calibration.js'
import type { Outcome } from './outcome.js'
import { STATE_LIMITS, type StateKind } from './real.js'
import { type ConditionSummary, type SimulatedSummary, spreadOf, summariseTwins } from './summary.js'
import { allStates, type RealSummary, shareOf, summariseReal, summariseRecordings } from './summaryReal.js'
import { outOf, percent, renderTable } from './table.js'

export interface ReportOptions {
  readonly markdown: boolean
  /** Print every recording's own figures, not only their spread. */
  readonly folds: boolean
  readonly baseline: boolean
}

/** Title, cell, and whether the column belongs to the narrow Markdown table too. */
type ConditionColumn = readonly [string, (c: ConditionSummary) => string, 'brief'?]

const CONDITION_COLUMNS: readonly ConditionColumn[] = [
  ['clips', (c) => String(c.clips), 'brief'],
  ['engine', (c) => percent(c.engine, 0), 'brief'],
  ['speed', (c) => percent(c.speedRight), 'brief'],
  ['×½×2 open', (c) => percent(c.multipleOpen), 'brief'],
  ['×½×2 wrong', (c) => percent(c.multipleWrong), 'brief'],
  ['off', (c) => percent(c.speedOff)],
  ['none', (c) => percent(c.speedMissing)],
  ['turns right', (c) => percent(c.turnsRight), 'brief'],
  ['±', (c) => percent(c.turnsRightError)],
  ['unsure', (c) => percent(c.turnsUnsure), 'brief'],
  ['missing', (c) => percent(c.turnsMissing)],
  ['right of sure', (c) => percent(c.rightOfSure), 'brief'],
  ['coast=fired', (c) => percent(c.coastingCalledFired)],
  ['ratio err', (c) => percent(c.ratioError), 'brief'],
  ['(by half)', (c) => percent(c.ratioErrorHard)],
  ['given', (c) => percent(c.ratioGiven, 0)],
  ['holds', (c) => percent(c.intervalHolds, 0), 'brief'],
  ['width', (c) => percent(c.intervalWidth), 'brief'],
  ['seg. hold', (c) => percent(c.segmentHolds, 0)],
]
const NAIVE_COLUMN: ConditionColumn = ['naive turns right', (c) => percent(c.naiveRight), 'brief']

/** Table of one simulator's conditions with means, then the reliability of the probabilities. */
export function reportSimulated(title: string, summary: SimulatedSummary, options: ReportOptions): string {
  const { markdown, baseline } = options
  const shown = [...CONDITION_COLUMNS, ...(baseline ? [NAIVE_COLUMN] : [])].filter(
    ([, , brief]) => brief || !markdown,
  )
  const named: [string, ConditionSummary | null][] = [
    ...Object.entries(summary.conditions),
    ['mean, easy', summary.easy],
    ['mean, hard', summary.hard],
    [`worst hard: ${summary.worstHard}`, summary.worstHard ? summary.conditions[summary.worstHard]! : null],
  ]
  const rows = named.flatMap(([name, c]) => (c ? [[name, ...shown.map(([, show]) => show(c))]] : []))
  const columns = [{ title: 'condition, %' }, ...shown.map(([name]) => ({ title: name }))]
  return [
    heading(title, markdown),
    renderTable(columns, rows, markdown),
    heading(`${title}: are the probabilities honest?`, markdown),
    reportCalibration(summary, markdown),
    `expected calibration error ${percent(summary.calibrationError)} %`,
  ].join('\n\n')
}

function reportCalibration({ calibration }: SimulatedSummary, markdown: boolean): string {
  const { turns, right, claimed } = calibration
  const rows = turns.map((n, bin) => [
    `${percent(BIN_EDGES[bin]!, 0)} to ${percent(BIN_EDGES[bin + 1]!, 0)}`,
    String(n),
    percent(claimed[bin]! / n),
    percent(right[bin]! / n),
  ])
  const columns = ['label called with, %', 'turns', 'mean chance', 'right'].map((title) => ({ title }))
  return renderTable(columns, rows, markdown)
}

/** Strict alternation against clean running at half the speed: what the speed came out as. */
export function reportTwins(outcomes: readonly Outcome[], { markdown }: ReportOptions): string {
  const groups = new Map<string, Outcome[]>()
  for (const outcome of outcomes) {
    const key = `${outcome.task.source} simulator, ${outcome.task.name}`
    groups.set(key, [...(groups.get(key) ?? []), outcome])
  }
  const rows = [...groups].map(([name, clips]) => {
    const counts = summariseTwins(clips)
    return [name, String(clips.length), ...Object.values(counts).map(String)]
  })
  const columns = ['twin', 'clips', 'right', 'right, open', 'open', 'confidently wrong', 'not found']
  return [
    heading('Twins: alternation at n turns a second, clean running at n/2', markdown),
    renderTable(
      columns.map((title) => ({ title })),
      rows,
      markdown,
    ),
  ].join('\n\n')
}

/** Engines heard where there are none, by kind of sound. */
export function reportNegatives(outcomes: readonly Outcome[], { markdown }: ReportOptions): string {
  const kinds = new Map<string, Outcome[]>()
  for (const outcome of outcomes) {
    const { name } = outcome.task
    kinds.set(name, [...(kinds.get(name) ?? []), outcome])
  }
  const row = (name: string, clips: readonly Outcome[]) => [
    name,
    clips.reduce((sum, { clipS }) => sum + clipS, 0).toFixed(0),
    outOf(clips.filter(({ verdict }) => verdict === 'measured').length, clips.length),
    Math.max(...clips.map((clip) => clip.engineProbability)).toFixed(2),
  ]
  const rows = [...kinds].map(([name, clips]) => row(name, clips))
  const columns = ['sound', 'seconds', 'false engines', 'highest chance'].map((title) => ({ title }))
  return [
    heading('Sounds that are no small two-stroke', markdown),
    renderTable(columns, [...rows, row('all', outcomes)], markdown),
  ].join('\n\n')
}

/** Labelled real recordings: engines, speed, states, coasting, and the spread between recordings. */
export function reportReal(outcomes: readonly Outcome[], options: ReportOptions): string {
  const { markdown } = options
  const all = summariseReal(outcomes)
  const table = (titles: readonly string[], rows: readonly (readonly string[])[]) =>
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
    heading('Real recordings (labels by one judge; the detector was tuned on them)', markdown),
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

function reportSpread(
  outcomes: readonly Outcome[],
  { folds }: ReportOptions,
  table: (titles: readonly string[], rows: readonly (readonly string[])[]) => string,
): string {
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

export const heading = (text: string, markdown: boolean): string =>
  markdown ? `### ${text}` : `${text}\n${'='.repeat(text.length)}`
