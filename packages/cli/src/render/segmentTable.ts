import type { Analysis, Segment } from '@everyrev/core'
import { alignColumns } from './columns.js'
import { percentText, ratioText, rpmText, timeText } from './numbers.js'
import { bothReadings, patternText } from './pattern.js'
import { segmentWord } from './segmentWord.js'

export const SEGMENT_HEAD = ['from s', 'to s', 'running', 'rpm', 'skipped (95 %)', 'pattern'] as const
/** Columns of figures, set to the right. */
export const SEGMENT_FIGURES: ReadonlySet<number> = new Set([0, 1, 3])

/** The segments as a table, one a line, plain text. */
export function segmentTable({ segments, durationS }: Analysis): string[] {
  const rows = [
    SEGMENT_HEAD as readonly string[],
    ...segments.map((segment) => segmentCells(segment, durationS)),
  ]
  return alignColumns(rows, SEGMENT_FIGURES)
}

/** One row of it. */
export function segmentCells(segment: Segment, durationS: number): string[] {
  const { startS, endS, kind, speedRpm, misfireRatio, pattern } = segment
  const both = bothReadings(pattern, misfireRatio)
  return [
    timeText(startS, durationS),
    timeText(endS, durationS),
    segmentWord(kind),
    speedRpm === null ? '-' : rpmText(speedRpm),
    kind === 'coasting'
      ? 'cannot be told'
      : both
        ? both.map(percentText).join(' or ')
        : ratioText(misfireRatio),
    kind === 'coasting' ? '-' : patternText(pattern, misfireRatio),
  ]
}
