import { type Analysis, mainRatio, type Ratio } from '@everyrev/core'
import { type LoggedClip, loggedClip } from '@everyrev/core/tuning'
import { remarks } from '../../render/checkText.js'
import { headline } from '../../render/headline.js'
import { figureText, isVague, percentSpan } from '../../render/numbers.js'
import { SEGMENT_HEAD, segmentCells } from '../../render/segmentTable.js'
import { stripSlices } from '../../render/strip.js'
import { STRIP_COLUMNS } from '../limits.js'
import { SETTLES } from '../texts.js'
import type { ClipAnswer, Figure, KeptAnalysis } from '../types.js'

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
    strip: measured ? stripSlices(analysis, STRIP_COLUMNS) : [],
    speedRange: measured ? speedRange(analysis) : null,
    segments: measured ? [SEGMENT_HEAD, ...analysis.segments.map((s) => segmentCells(s, durationS))] : [],
    figure: figureOf(mainRatio(analysis)),
    mark: heardMark(loggedClip('', analysis)),
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

/** The share in large letters; no more is claimed than the sentences do. */
export function figureOf(ratio: Ratio): Figure {
  const value = ratio.value === null ? null : figureText(ratio)
  if (isVague(ratio) || ratio.low === null || ratio.high === null) return { value, interval: null }
  const { low, high } = percentSpan(ratio.low, ratio.high)
  return { value, interval: `between ${low} and ${high} %` }
}

/** Numbers a log keeps of a clip, whatever it is called there; two clips never have the same. */
export function heardMark(heard: LoggedClip | null): string | null {
  if (heard === null) return null
  const { clip: _, ...numbers } = heard
  return JSON.stringify(Object.entries(numbers).sort(([a], [b]) => (a < b ? -1 : 1)))
}

/** The analysis without its samples, which nothing asks for later. */
export function withoutSamples(analysis: Analysis): KeptAnalysis {
  return { ...analysis, recording: { ...analysis.recording, samples: new Float32Array() } }
}
