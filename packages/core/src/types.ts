import type { SpeedTrack } from './crank/types.js'
import type { Recording } from './decode/types.js'
import type { Revolutions } from './labels/types.js'
import type { RecordingQuality, Verdict } from './quality/types.js'
import type { Score } from './score/types.js'
import type { Segment } from './segments/types.js'

/** Options of {@link analyze}. */
export interface AnalyzeOptions {
  /**
   * Crank speed the engine can be expected to run at, rpm, as `[low, high]`; settles octave questions; a range that the sound contradicts is not
   * followed, and `expected` of the answer says what is read without it.
   */
  readonly expectRpm?: readonly [number, number]
}

/** What speeds were expected, and what the sound says without that. */
export interface Expected {
  /** As given, rpm, `[low, high]`. */
  readonly rpm: readonly [number, number]
  /** Median speed read without it, rpm; null without an engine. */
  readonly freeRpm: number | null
  /** The other reading that is open without it, rpm; null where there is none. */
  readonly freeAlternativeRpm: number | null
}

/** The whole way from sound to score, every stage's output kept. */
export interface Analysis {
  readonly verdict: Verdict
  /** Why, in a closed list; null when measured. `too-short` and `silent` come from whoever refuses before analysing. */
  readonly reason: 'no-periodic-pulse' | 'other-sound' | 'too-quiet' | 'too-short' | 'silent' | null
  /** Chance that a small two-stroke is heard at all, 0–1. */
  readonly engineProbability: number
  /** The ear that was listened with: answers of different ears are not to be compared. */
  readonly earVersion: string
  readonly recording: Recording
  readonly durationS: number
  readonly speed: SpeedTrack
  readonly medianRpm: number | null
  readonly ambiguous: boolean
  /** The other reading of the speed where the evidence does not settle it, rpm. */
  readonly alternativeRpm: number | null
  /** null where no speeds were expected. */
  readonly expected: Expected | null
  readonly revolutions: Revolutions
  readonly segments: readonly Segment[]
  readonly score: Score
  readonly quality: RecordingQuality
}
