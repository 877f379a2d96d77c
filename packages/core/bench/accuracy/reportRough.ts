import type { Outcome } from './outcome.js'
import { heading, type ReportOptions } from './report.js'
import { ROUGH_WORDS } from './rough/kinds.js'
import { type HardshipSummary, type RoughSummary, summariseRough } from './summaryRough.js'
import { outOf, percent, renderTable } from './table.js'

/** Recordings made rough, each kind with its figures, the means, and the hardships apart. */
export function reportRough(outcomes: readonly Outcome[], { markdown }: ReportOptions): string {
  const { roughenings, means, hardships } = summariseRough(outcomes)
  const sections: string[] = []
  if (roughenings.length > 0)
    sections.push(
      heading('Real recordings made rough, each heard by a model that never heard its fold', markdown),
      renderTable(
        [
          'made rough by',
          'engines',
          'false engines',
          'sure right, %',
          'conf. wrong, %',
          'firm states',
          'likely states',
        ].map((title) => ({ title })),
        [
          ...roughenings.map((row) => roughRow(ROUGH_WORDS[row.kind], row, 0)),
          ...(means ? [roughRow('mean', means, 1)] : []),
        ],
        markdown,
      ),
    )
  if (hardships.length > 0)
    sections.push(
      heading('Engines under other sounds: right, left open, or sure and wrong', markdown),
      renderTable(
        [
          'heard',
          'engines',
          'sure time right, %',
          'open or none',
          'sure and wrong',
          'firm states right',
          'open',
          'sure and wrong',
        ].map((title) => ({ title })),
        hardships.map((row) => hardshipRow(ROUGH_WORDS[row.kind], row)),
        markdown,
      ),
    )
  return sections.join('\n\n')
}

function roughRow(name: string, row: Omit<RoughSummary, 'kind'>, digits: number): string[] {
  const number = (value: number) => value.toFixed(digits)
  const { engines, falseEngines, firm, likely, sureRight, confidentlyWrong } = row
  return [
    name,
    `${number(engines.right)} of ${engines.of}`,
    `${number(falseEngines.right)} of ${falseEngines.of}`,
    percent(sureRight),
    percent(confidentlyWrong),
    `${number(firm.right)} of ${firm.of}`,
    `${number(likely.right)} of ${likely.of}`,
  ]
}

function hardshipRow(name: string, { engines, frames, firm }: HardshipSummary): string[] {
  return [
    name,
    outOf(engines.right, engines.of),
    percent(frames.right),
    percent(frames.open),
    percent(frames.wrong),
    outOf(firm.right, firm.of),
    String(firm.open),
    String(firm.of - firm.right - firm.open),
  ]
}
