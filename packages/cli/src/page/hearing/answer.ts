import type { Analysis, Ratio } from '@everyrev/core'
import { remarks } from '../../render/checkText.js'
import { headline } from '../../render/headline.js'
import { ratioText } from '../../render/numbers.js'
import { SEGMENT_HEAD, segmentCells } from '../../render/segmentTable.js'
import { VAGUE_WIDTH } from '../../render/shareSentence.js'
import { stripColumns } from '../../render/strip.js'
import { STRIP_COLUMNS } from '../limits.js'
import { SETTLES } from '../texts.js'
import type { ClipAnswer, KeptAnalysis } from '../types.js'

/** What the page shows of an analysis: the sentences of `check`, its strip and its table. */
export function clipAnswer(analysis: Analysis): ClipAnswer {
  const { verdict, score, medianRpm, durationS, recording } = analysis
  const measured = verdict === 'measured'
  return {
    verdict,
    sentences: headline(analysis, SETTLES),
    remarks: [
      ...(measured ? remarks(analysis) : []),
      ...recording.notes.map(({ message }) => `Note on the file: ${message}`),
    ],
    strip: measured ? stripColumns(analysis, STRIP_COLUMNS) : [],
    speedRange: measured ? speedRange(analysis) : null,
    segments: measured ? [SEGMENT_HEAD, ...analysis.segments.map((s) => segmentCells(s, durationS))] : [],
    figure: figureText(score.steady.turns > 0 ? score.steady : score.misfireRatio),
    misfireRatio: score.misfireRatio,
    rpm: medianRpm,
    durationS,
  }
}

/** Of the turns in which the engine runs, whatever it does. */
function speedRange({ revolutions, segments }: Analysis): readonly [number, number] | null {
  const speeds = segments
    .filter(({ kind }) => kind !== 'stopped')
    .flatMap(({ firstTurn, endTurn }) => Array.from(revolutions.speedRpm.subarray(firstTurn, endTurn)))
  if (speeds.length === 0) return null
  return [speeds.reduce((a, b) => Math.min(a, b)), speeds.reduce((a, b) => Math.max(a, b))]
}

/** The share in figures; no more is claimed than the sentences do. */
export function figureText(ratio: Ratio): string {
  const isVague = ratio.low !== null && ratio.high !== null && ratio.high - ratio.low > VAGUE_WIDTH
  return ratioText(isVague ? { ...ratio, value: null } : ratio)
}

/** The analysis without its samples, which nothing asks for later. */
export function withoutSamples(analysis: Analysis): KeptAnalysis {
  return { ...analysis, recording: { ...analysis.recording, samples: new Float32Array() } }
}
