import type {
  Analysis,
  DecodeNote,
  Expected,
  Hindrance,
  Label,
  Pattern,
  Ratio,
  SegmentKind,
  Verdict,
} from '@everyrev/core/hear'

/** From best to worst, then those without a grade. */
export const GRADES = [
  'runs-clean',
  'skips-now-and-then',
  'four-strokes',
  'four-strokes-hard',
  'unsure',
  'not-judged',
  'unreadable',
] as const
export type Grade = (typeof GRADES)[number]

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
