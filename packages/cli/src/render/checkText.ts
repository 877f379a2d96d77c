import type { Analysis } from '@everyrev/core'
import type { Colors } from 'picocolors/types.js'
import { headline } from './headline.js'
import { ratioText } from './numbers.js'
import { paragraphs } from './paragraphs.js'
import { segmentTable } from './segmentTable.js'
import { strip } from './strip.js'
import { wrap } from './wrap.js'

export interface TextStyle {
  /** Characters a line may take, 40 or more. */
  readonly width: number
  readonly colors: Colors
}

/** The answer of `check` as text: sentences, strip over time, table of segments, notes. Ends with a line feed. */
export function checkText(analysis: Analysis, { width, colors }: TextStyle): string {
  const parts = [headline(analysis).flatMap((sentence) => wrap(sentence, width))]
  if (analysis.verdict === 'measured') {
    parts.push(
      strip(analysis, width, colors),
      segmentTable(analysis),
      wrap(remarks(analysis).join(' '), width),
    )
  }
  const notes = analysis.recording.notes.flatMap((note) => wrap(`Note on the file: ${note.message}`, width))
  return paragraphs([...parts, notes])
}

/** What the headline leaves out: the shares of the other kinds of running, and what is normal. */
export function remarks({ score, segments }: Analysis): string[] {
  const lines: string[] = []
  if (score.misfireRatio.turns > 0 && score.misfireRatio.value !== null)
    lines.push(`All running that could be judged: ${ratioText(score.misfireRatio)} skipped.`)
  if (score.pulling.turns > 0 && score.pulling.value !== null)
    lines.push(`Pulling: ${ratioText(score.pulling)}.`)
  if (segments.some((s) => s.kind === 'idle' && (s.misfireRatio?.value ?? 0) > 0.1)) {
    lines.push(
      'Skipping at idle and with light load is normal for a two-stroke; steady running is what to compare.',
    )
  }
  return lines
}
