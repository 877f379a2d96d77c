import type { Colors } from 'picocolors/types.js'
import type { GradeRow } from '../grade/row.js'
import { padColumns } from './columns.js'
import { escapeControls } from './escape.js'
import { gradeText, skippedText } from './gradeWords.js'
import { clipSpeedText } from './numbers.js'

const HEAD = ['skipped (95 %)', 'grade', 'rpm', 'steady', 'clip'] as const
const RIGHT_ALIGNED = new Set([2, 3])
const GRADE_COLUMN = 1

/** The clips as a table, one a line, the name last and never shortened; an error stands below the name. */
export function gradeTable(rows: readonly GradeRow[], colors: Colors): string[] {
  const aligned = padColumns([HEAD, ...rows.map(cells)], RIGHT_ALIGNED)
  return aligned.flatMap((row, k) => {
    const shown = rows[k - 1]
    if (shown) row[GRADE_COLUMN] = paint(row[GRADE_COLUMN]!, shown, colors)
    const line = row.join('  ').trimEnd()
    return shown?.error ? [line, `    ${errorText(shown.error)}`] : [line]
  })
}

function cells(row: GradeRow): string[] {
  const { speedRpm, otherRpm, steadyS } = row
  const speeds = [speedRpm, otherRpm].filter((rpm) => rpm !== null).map(clipSpeedText)
  return [
    skippedText(row),
    gradeText(row),
    speeds.join(' or ') || '-',
    steadyS > 0 ? `${steadyS.toFixed(1)} s` : '-',
    escapeControls(row.file),
  ]
}

function errorText({ message, hint }: NonNullable<GradeRow['error']>): string {
  return escapeControls(hint === null ? message : `${message} (${hint})`)
}

/** Colour helps the eye; the words say the same without it. */
function paint(text: string, { grade }: GradeRow, colors: Colors): string {
  switch (grade) {
    case 'runs-clean':
      return colors.green(text)
    case 'skips-now-and-then':
      return colors.yellow(text)
    case 'four-strokes':
    case 'four-strokes-hard':
    case 'unreadable':
      return colors.red(text)
    default:
      return colors.dim(text)
  }
}
