import { changeText, degreesIn, type History, type JudgedTrial, type LogVerdict } from '@everyrev/core/tuning'
import { stringify } from 'csv-stringify/sync'
import { escapeControls } from '../escape.js'
import { round } from '../round.js'

type Cell = string | number | null

/**
 * The trials as CSV for a spreadsheet (RFC 4180, UTF-8 with byte order mark), one a row: what was changed, what every knob
 * stood at, shares 0–1, temperatures in the unit of the log. Text that a spreadsheet would run gets an apostrophe in front.
 */
export function logCsv({ log, trials }: History): string {
  const degrees = (celsius: number | null) =>
    celsius === null ? null : round(degreesIn(celsius, log.unit), 1)
  const unit = log.unit.toLowerCase()
  const knobs = [...new Set(log.trials.flatMap(({ setting }) => [...setting.keys()]))]
  const columns: [string, (judged: JudgedTrial) => Cell][] = [
    ['trial', ({ trial }) => trial.number],
    ['date', ({ trial }) => trial.date],
    ['change', ({ trial }) => trial.changes.map(changeText).join('; ')],
    ...knobs.map((knob): [string, (judged: JudgedTrial) => Cell] => [
      knob,
      ({ trial }) => trial.setting.get(knob)?.text ?? null,
    ]),
    ['skipped', ({ share }) => round(share?.value ?? null, 4)],
    ['skipped_low', ({ share }) => round(share?.low ?? null, 4)],
    ['skipped_high', ({ share }) => round(share?.high ?? null, 4)],
    ['clips', ({ trial }) => trial.clips.length],
    ['vs_before', ({ againstReference }) => verdictCell(againstReference)],
    ['vs_first', ({ againstBaseline }) => verdictCell(againstBaseline)],
    [`head_${unit}`, ({ trial }) => degrees(trial.headC)],
    [`air_${unit}`, ({ trial }) => degrees(trial.airC)],
    ['engine', ({ trial }) => (trial.warm === null ? null : trial.warm ? 'warm' : 'cold')],
    ['pull', ({ trial }) => trial.pull],
    ['pull_vs_first', ({ trial }) => trial.pullFirst],
    ['skips_pulling', ({ trial }) => (trial.underPull === null ? null : trial.underPull ? 'yes' : 'no')],
    ['trouble', ({ trial }) => trial.trouble?.words ?? null],
    ['running_in', ({ trial }) => (trial.runningIn ? 'yes' : null)],
    ['noise', ({ trial }) => trial.noise],
    ['load', ({ trial }) => trial.load],
    ['weather', ({ trial }) => trial.weather],
    ['note', ({ trial }) => trial.note],
  ]
  const rows = trials.map((judged) => columns.map(([, cell]) => shown(cell(judged))))
  return stringify([columns.map(([name]) => shown(name)), ...rows], {
    bom: true,
    escape_formulas: true,
    record_delimiter: '\r\n',
    quoted_match: /[\r\n]/,
  })
}

/** Text as a terminal may have it, to which the table is printed; line feeds stay, the cell is quoted. */
function shown(cell: Cell): Cell {
  return typeof cell === 'string' ? cell.split('\n').map(escapeControls).join('\n') : cell
}

function verdictCell(verdict: LogVerdict | null): Cell {
  return verdict?.change ? `${verdict.verdict} ${round(100 * verdict.change.value, 1)}` : null
}
