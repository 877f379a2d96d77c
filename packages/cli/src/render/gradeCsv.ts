import { stringify } from 'csv-stringify/sync'
import type { GradeRow } from '../grade/row.js'
import { gradeWords } from './gradeWords.js'

type Cell = string | number | null

/** Columns in order; shares are 0–1, an empty cell says that it cannot be told. */
const COLUMNS: Readonly<Record<string, (row: GradeRow) => Cell>> = {
  clip: (row) => row.file,
  group: (row) => row.group,
  grade: (row) => gradeWords(row.grade),
  sure: (row) => (row.sure ? 'yes' : 'no'),
  why: (row) => row.why,
  skipped: (row) => row.skipped.value,
  skipped_low: (row) => row.skipped.low,
  skipped_high: (row) => row.skipped.high,
  turns: (row) => row.skipped.turns,
  steady_s: (row) => row.steadyS,
  speed_rpm: (row) => row.speedRpm,
  other_speed_rpm: (row) => row.otherRpm,
  length_s: (row) => row.durationS,
  engine_chance: (row) => row.engineProbability,
  quality: (row) => row.quality,
  hindrances: (row) => row.hindrances.join(' '),
  notes: (row) => row.notes.join(' '),
  hint: (row) => row.error?.hint ?? null,
}

/**
 * The rows as CSV for a spreadsheet (RFC 4180, UTF-8 with byte order mark).
 *
 * Text that a spreadsheet would take for a formula (it begins with = + - @, a tab or the like) gets an apostrophe in
 * front: a file's name must not run anything.
 */
export function gradeCsv(rows: readonly GradeRow[]): string {
  const cells = Object.values(COLUMNS)
  return stringify([Object.keys(COLUMNS), ...rows.map((row) => cells.map((cell) => cell(row)))], {
    bom: true,
    escape_formulas: true,
    record_delimiter: '\r\n',
    quoted_match: /[\r\n]/, // a lone one too, which the library leaves bare beside a two-letter delimiter
  })
}
