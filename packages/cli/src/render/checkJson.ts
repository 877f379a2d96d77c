import {
  type Analysis,
  type DecodeNote,
  type Expected,
  type Hindrance,
  LABELS,
  type Label,
  type Pattern,
  type Ratio,
  type SegmentKind,
  type Verdict,
} from '@everyrev/core/hear'
import { type Grade, gradeOf } from '../grade/gradeOf.js'
import { bothReadings } from './pattern.js'
import { round } from './round.js'

/** Raised when a field changes its meaning or goes away; added fields keep it. */
export const CHECK_SCHEMA_VERSION = 1

/** What `everyrev check --json` prints; published as `schema/check.schema.json`. Shares are 0-1, nothing told is null. */
export interface CheckJson {
  readonly schemaVersion: typeof CHECK_SCHEMA_VERSION
  readonly file: string
  readonly durationS: number | null
  readonly verdict: Verdict
  readonly reason: Analysis['reason']
  /** How it runs, by the share of skipped turns in steady running, and whether that is sure. */
  readonly grade: Grade
  readonly sure: boolean
  readonly engineProbability: number
  readonly ear: string
  readonly engineSpeed: {
    readonly medianRpm: number | null
    readonly ambiguous: boolean
    readonly alternativeRpm: number | null
    /** What was expected and what the sound says without it; null where nothing was expected. */
    readonly expected: Expected | null
  }
  readonly misfireRatio: Ratio
  readonly steady: { readonly misfireRatio: Ratio; readonly durationS: number }
  readonly pulling: { readonly misfireRatio: Ratio; readonly durationS: number }
  readonly segments: readonly SegmentJson[]
  readonly recording: RecordingJson
  readonly revolutions?: readonly RevolutionJson[]
}

export interface SegmentJson {
  readonly startS: number
  readonly endS: number
  readonly kind: SegmentKind
  readonly speedRpm: number | null
  readonly misfireRatio: Ratio
  readonly pattern: Pattern | null
  readonly readings: readonly number[] | null
  readonly longestSkipRun: number
  readonly popDb: number | null
  readonly unevenness: number | null
}

export interface RecordingJson {
  readonly quality: number
  readonly rateHz: number | null
  readonly levelDbfs: number | null
  readonly peakDbfs: number | null
  readonly clippedRatio: number | null
  readonly bandwidthHz: number | null
  readonly pulseToNoiseDb: number | null
  readonly hindrances: readonly {
    readonly code: Hindrance
    readonly message: string
    readonly advice: string
  }[]
  readonly notes: readonly DecodeNote[]
}

export interface RevolutionJson {
  readonly timeS: number
  readonly speedRpm: number
  readonly fired: boolean | null
  readonly probability: number
  readonly label: Label
}

const NOTHING: Ratio = { value: null, low: null, high: null, turns: 0 }

/** The whole answer as one plain object, ready for `JSON.stringify`. */
export function checkJson(analysis: Analysis, file: string, options: { revolutions: boolean }): CheckJson {
  const { score, quality, recording } = analysis
  const lengthOf = (kind: SegmentKind) =>
    round(
      analysis.segments.filter((s) => s.kind === kind).reduce((sum, s) => sum + s.endS - s.startS, 0),
      3,
    ) ?? 0
  const { grade, sure } = gradeOf(analysis)
  return {
    schemaVersion: CHECK_SCHEMA_VERSION,
    file,
    durationS: round(analysis.durationS, 3),
    verdict: analysis.verdict,
    reason: analysis.reason,
    grade,
    sure,
    engineProbability: round(analysis.engineProbability, 3) ?? 0,
    ear: analysis.earVersion,
    engineSpeed: {
      medianRpm: round(analysis.medianRpm, 1),
      ambiguous: analysis.ambiguous,
      alternativeRpm: round(analysis.alternativeRpm, 1),
      expected: expected(analysis.expected),
    },
    misfireRatio: ratio(score.misfireRatio),
    steady: { misfireRatio: ratio(score.steady), durationS: lengthOf('steady') },
    pulling: { misfireRatio: ratio(score.pulling), durationS: lengthOf('pulling') },
    segments: analysis.segments.map((s) => ({
      startS: round(s.startS, 3) ?? 0,
      endS: round(s.endS, 3) ?? 0,
      kind: s.kind,
      speedRpm: round(s.speedRpm, 1),
      misfireRatio: ratio(s.misfireRatio ?? NOTHING),
      pattern: s.pattern,
      readings: bothReadings(s.pattern, s.misfireRatio)?.map((share) => round(share, 4)!) ?? null,
      longestSkipRun: s.longestSkipRun,
      popDb: round(s.popDb, 2),
      unevenness: round(s.unevenness, 5),
    })),
    recording: {
      quality: round(quality.score, 3) ?? 0,
      rateHz: round(recording.rateHz, 3),
      levelDbfs: round(quality.levelDbfs, 1),
      peakDbfs: round(quality.peakDbfs, 1),
      clippedRatio: round(quality.clippedRatio, 6),
      bandwidthHz: round(quality.bandwidthHz, 0),
      pulseToNoiseDb: round(quality.pulseToNoiseDb, 1),
      hindrances: quality.hindrances,
      notes: recording.notes,
    },
    ...(options.revolutions ? { revolutions: revolutions(analysis) } : {}),
  }
}

function expected(told: Expected | null): Expected | null {
  return (
    told && {
      rpm: told.rpm,
      freeRpm: round(told.freeRpm, 1),
      freeAlternativeRpm: round(told.freeAlternativeRpm, 1),
    }
  )
}

function revolutions({
  revolutions: { timeS, speedRpm, label, firedProbability },
}: Analysis): RevolutionJson[] {
  return Array.from(timeS, (t, i) => {
    const name = LABELS[label[i]!]!
    const probability = firedProbability[i]!
    return {
      timeS: round(t, 5) ?? 0,
      speedRpm: round(speedRpm[i]!, 1) ?? 0,
      fired: fired(name, probability),
      probability: round(probability, 4) ?? 0.5,
      label: name,
    }
  })
}

/** A partial burn counts on the side it is more likely on; null only when unsure. */
function fired(label: Label, probability: number): boolean | null {
  if (label === 'unsure') return null
  return label === 'partial' ? probability >= 0.5 : label === 'fired'
}

function ratio({ value, low, high, turns }: Ratio): Ratio {
  return { value: round(value, 4), low: round(low, 4), high: round(high, 4), turns }
}
