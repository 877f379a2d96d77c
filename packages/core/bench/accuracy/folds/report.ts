import { heading, type ReportOptions } from '../report.js'
import { spreadOf } from '../summary.js'
import { allStates, type RealSummary, shareOf, summariseReal, summariseRecordings } from '../summaryReal.js'
import { outOf, percent, renderTable } from '../table.js'
import { type CrossValidation, FITS, type Fit, type FitResult } from './crossValidate.js'

const TITLES: Readonly<Record<Fit, string>> = {
  present: 'as they are',
  all: 'refitted to all',
  without: 'refitted without the recording judged',
}

const NOT_COVERED =
  'Refitted: the scores of a window and of a multiple of the speed. All else about the speed, the engine gate and the rest ' +
  'of the list in DEVELOPERS.md was set by hand with these recordings; no formula sets it anew, so all columns are tuned in that.'

/** Recordings judged by the present constants, and by ones fitted without them. */
export function reportFolds(folds: CrossValidation, { markdown, folds: oneByOne }: ReportOptions): string {
  const table = (titles: readonly string[], rows: readonly (readonly string[])[]) =>
    renderTable(
      titles.map((title) => ({ title })),
      rows,
      markdown,
    )
  const rows = ROWS.map(([name, cell]) => [name, ...FITS.map((fit) => cell(folds[fit]))])
  return [
    heading('Real recordings, cross-validated by recording', markdown),
    table(['constants', ...FITS.map((fit) => TITLES[fit])], rows),
    ...(oneByOne
      ? [table(['firm, likely states', ...FITS.map((fit) => TITLES[fit])], byRecording(folds))]
      : []),
    NOT_COVERED,
  ].join('\n\n')
}

const ROWS: readonly (readonly [string, (result: FitResult) => string])[] = [
  ['firm states right', ({ clips }) => tallyText(allStates(summariseReal(clips).states.sure))],
  ['likely states right', ({ clips }) => tallyText(allStates(summariseReal(clips).states.likely))],
  ['overruns scored as clean running', ({ clips }) => overrunText(summariseReal(clips))],
  ['engines found', ({ clips }) => tallyText(summariseReal(clips).engines)],
  ['speed right, sure labels, %', ({ clips }) => percent(shareOf(summariseReal(clips).sure, 'right'))],
  [
    'speed wrong without another named, sure labels, %',
    ({ clips }) => percent(shareOf(summariseReal(clips).sure, 'wrong')),
  ],
  ['firm states by recording: mean, sd, lowest, %', (result) => spreadText(result, 'sure')],
  ['likely states by recording: mean, sd, lowest, %', (result) => spreadText(result, 'likely')],
  ['windows of firm clean spans, wrong', ({ windows: { clean } }) => outOf(clean.wrong, clean.of)],
  [
    'windows of firm skipping spans, wrong',
    ({ windows: { skipping } }) => outOf(skipping.wrong, skipping.of),
  ],
]

const tallyText = ({ right, of }: { right: number; of: number }): string => outOf(right, of)
const overrunText = ({ overrun }: RealSummary): string => outOf(overrun.of - overrun.right, overrun.of)

function spreadText({ clips }: FitResult, confidence: 'sure' | 'likely'): string {
  const tallies = [...summariseRecordings(clips).values()].map((s) => allStates(s.states[confidence]))
  const { mean, sd, lowest } = spreadOf(tallies.filter((t) => t.of > 0).map((t) => t.right / t.of))
  return [mean, sd, lowest].map((share) => percent(share)).join(', ')
}

function byRecording(folds: CrossValidation): string[][] {
  const fits = FITS.map((fit) => summariseRecordings(folds[fit].clips))
  const cell = ({ states }: RealSummary) =>
    [states.sure, states.likely].map((kinds) => tallyText(allStates(kinds))).join(', ')
  return [...fits[0]!.keys()].map((number) => [
    number,
    ...fits.map((summaries) => cell(summaries.get(number)!)),
  ])
}
