import { VAGUE_WIDTH } from '../grade/constants.js'
import { GRADE_CLASSES, type Graded } from '../grade/gradeOf.js'
import { type GradeRow, isMeasured } from '../grade/row.js'
import type { Grade } from '../grade/types.js'
import { escapeControls } from './escape.js'
import { percentText, ratioText } from './numbers.js'

/** A grade in the words of the trade, of one clip or of several. */
export function gradeWords(grade: Grade, clips = 1): string {
  const words = GRADE_CLASSES.find((known) => known.grade === grade)?.words
  if (words === undefined) return grade.replace('-', ' ')
  return clips === 1 ? words : words.replace(/^(run|skip|four-stroke)s/, '$1')
}

/** The same with what is known of it: `probably four-strokes`, `not judged: no engine heard`. */
export function gradeText({ grade, sure, why }: Graded): string {
  const words = gradeWords(grade)
  if (grade === 'not-judged') return `${words}: ${why}`
  return sure || grade === 'unsure' || grade === 'unreadable' ? words : `probably ${words}`
}

/** Share of skipped turns with its interval, the interval alone where that is unsure, or `-` where nothing was measured. */
export function skippedText(row: GradeRow): string {
  if (!isMeasured(row)) return '-'
  return ratioText(row.grade === 'unsure' ? { ...row.skipped, value: null } : row.skipped)
}

/** One clip on one line, as in `ride.m4a: 44 % (34-53) skipped, probably four-strokes`. */
export function gradeLine(row: GradeRow): string {
  const file = escapeControls(row.file)
  const text = isMeasured(row) ? `${skippedText(row)} skipped, ${gradeText(row)}` : gradeText(row)
  return row.error ? `${file}: ${text}: ${escapeControls(row.error.message)}` : `${file}: ${text}`
}

/** The classes with their bounds and what they rest on, for `--help`. */
export function gradeLegend(): string[] {
  return gradeLegendRows().map(([words, span, reason]) =>
    reason === '' ? `${words.padEnd(20)}${span}` : `${words.padEnd(20)}${span}: ${reason}`,
  )
}

/** The same as cells: words, what they stand for, why they begin there. */
export function gradeLegendRows(): (readonly [words: string, span: string, reason: string])[] {
  const classes = GRADE_CLASSES.map(({ words, from, reason }, k) => {
    const next = GRADE_CLASSES[k + 1]
    const span =
      next === undefined
        ? `${percentText(from)} and more`
        : k === 0
          ? `below ${percentText(next.from)}`
          : `${Math.round(from * 100)} to ${percentText(next.from)}`
    return [words, span, reason] as const
  })
  return [
    ...classes,
    ['probably ...', 'the 95 % interval reaches into a neighbouring grade', ''],
    ['unsure', `it touches three, or is wider than ${Math.round(VAGUE_WIDTH * 100)} points`, ''],
    ['not judged', 'no engine, too poor, or less than 2 s of steady running', ''],
  ]
}
