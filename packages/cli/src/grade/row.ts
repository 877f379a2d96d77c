import type { Ratio } from '@everyrev/core'
import { gradeOf } from './gradeOf.js'
import type { CheckJson, Grade } from './types.js'

/** Why a file could not be read. */
export interface Refusal {
  readonly code: string
  readonly message: string
  /** What to do about it. */
  readonly hint: string | null
}

/** What is kept of a clip for the table: a few figures, whatever its length. Shares are 0–1, what cannot be told is null. */
export interface GradeRow {
  /** As it was named or found. */
  readonly file: string
  readonly group: string | null
  readonly grade: Grade
  readonly sure: boolean
  readonly why: string | null
  /** Skipped turns in steady running. */
  readonly skipped: Ratio
  readonly steadyS: number
  readonly speedRpm: number | null
  /** The other reading of the speed, where it is open. */
  readonly otherRpm: number | null
  readonly durationS: number | null
  readonly engineProbability: number | null
  /** Of the recording, 0 to 1. */
  readonly quality: number | null
  /** What stood in the way, worst first. */
  readonly hindrances: readonly string[]
  /** What the decoder noticed, as sentences. */
  readonly notes: readonly string[]
  readonly error: Refusal | null
}

export function rowOf(file: string, group: string | null, check: CheckJson): GradeRow {
  return {
    file,
    group,
    ...gradeOf(check),
    skipped: check.steady.misfireRatio,
    steadyS: check.steady.durationS,
    speedRpm: check.engineSpeed.medianRpm,
    otherRpm: check.engineSpeed.alternativeRpm,
    durationS: check.durationS,
    engineProbability: check.engineProbability,
    quality: check.recording.quality,
    hindrances: check.recording.hindrances.map(({ code }) => code),
    notes: check.recording.notes.map(({ message }) => message),
    error: null,
  }
}

/** The row of a file that could not be read. */
export function refusedRow(file: string, group: string | null, error: Refusal): GradeRow {
  return {
    file,
    group,
    grade: 'unreadable',
    sure: false,
    why: error.message,
    skipped: { value: null, low: null, high: null, turns: 0 },
    steadyS: 0,
    speedRpm: null,
    otherRpm: null,
    durationS: null,
    engineProbability: null,
    quality: null,
    hindrances: [],
    notes: [],
    error,
  }
}

/** True where the clip got a figure for its steady running, be it an unsure one. */
export function isMeasured({ grade }: GradeRow): boolean {
  return grade !== 'not-judged' && grade !== 'unreadable'
}
