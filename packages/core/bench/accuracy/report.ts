import { BIN_EDGES } from './calibration.js'
import { type Figures, fixtureHeld } from './figures.js'
import type { Outcome } from './outcome.js'
import { type ConditionSummary, type SimulatedSummary, summariseTwins } from './summary.js'
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

/** The clips of `fixtures/`: what each was found to skip, against its truth. */
export function reportFixtures(outcomes: readonly Outcome[], { markdown }: ReportOptions): string {
  const share = (value: number | null | undefined) => (value == null ? 'n/a' : percent(value))
  const rows = outcomes.map((outcome) => {
    const { task, verdict, simulated } = outcome
    const ratio = simulated?.ratio
    return [
      task.name,
      verdict,
      share(ratio?.truth),
      share(ratio?.value),
      `${share(ratio?.low)} to ${share(ratio?.high)}`,
      fixtureHeld(outcome) ? 'yes' : 'NO',
    ]
  })
  const titles = ['fixture', 'verdict', 'truly skipped, %', 'found', 'interval', 'holds']
  return [
    heading('Clips of fixtures/', markdown),
    renderTable(
      titles.map((title) => ({ title })),
      rows,
      markdown,
    ),
  ].join('\n\n')
}

/** The figures that matter, one a line. */
export function reportFigures(figures: Figures, { markdown }: ReportOptions): string {
  return [heading('The figures that matter', markdown), figuresTable(figures, markdown)].join('\n\n')
}

export function figuresTable(figures: Figures, markdown: boolean): string {
  const rows = Object.entries(figures).map(([name, { value, of }]) => [
    name,
    of === undefined ? percentText(value) : `${Number.isInteger(value) ? value : value.toFixed(1)} of ${of}`,
  ])
  return renderTable([{ title: 'figure' }, { title: 'value' }], rows, markdown)
}

const percentText = (share: number): string => (Number.isFinite(share) ? `${percent(share)} %` : 'n/a')

export const heading = (text: string, markdown: boolean): string =>
  markdown ? `### ${text}` : `${text}\n${'='.repeat(text.length)}`
