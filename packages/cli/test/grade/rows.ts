import { type GradeRow, rowOf } from '../../src/grade/row.js'
import type { CheckJson } from '../../src/grade/types.js'

/** What `check` says of a clip that skips this share of its turns in steady running; other fields on request. */
export function checkOf(
  [value, low, high]: readonly [number | null, number | null, number | null],
  given: Partial<CheckJson> = {},
): CheckJson {
  const misfireRatio = { value, low, high, turns: 600 }
  return {
    schemaVersion: 1,
    file: '',
    durationS: 12,
    verdict: 'measured',
    reason: null,
    grade: 'unsure',
    sure: false,
    engineProbability: 0.98,
    ear: '1-made',
    engineSpeed: { medianRpm: 4700, ambiguous: false, alternativeRpm: null, expected: null },
    misfireRatio,
    steady: { misfireRatio, durationS: 8.2 },
    pulling: { misfireRatio: { value: null, low: null, high: null, turns: 0 }, durationS: 0 },
    segments: [],
    recording: {
      quality: 0.9,
      rateHz: 48_000,
      levelDbfs: -20,
      peakDbfs: -3,
      clippedRatio: 0,
      bandwidthHz: 12_000,
      pulseToNoiseDb: 9,
      hindrances: [],
      notes: [],
    },
    ...given,
  }
}

/** The row of a clip that skips this share, surely. */
export function rowWith(file: string, value: number, given: Partial<GradeRow> = {}): GradeRow {
  return { ...rowOf(file, null, checkOf([value, value, value])), ...given }
}
