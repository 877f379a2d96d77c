import * as v from 'valibot'
import { CHECK_SCHEMA_VERSION, type CheckJson, GRADES } from '../grade/types.js'

const share = v.pipe(v.number(), v.minValue(0), v.maxValue(1))
const length = v.pipe(v.number(), v.minValue(0))
const count = v.pipe(v.number(), v.integer(), v.minValue(0))
const ratio = v.strictObject({
  value: v.nullable(share),
  low: v.nullable(share),
  high: v.nullable(share),
  turns: count,
})
const part = v.strictObject({ misfireRatio: ratio, durationS: length })

const segment = v.strictObject({
  startS: length,
  endS: length,
  kind: v.picklist(['idle', 'pulling', 'steady', 'coasting', 'stopped']),
  speedRpm: v.nullable(length),
  misfireRatio: ratio,
  pattern: v.nullable(
    v.picklist(['every-turn', 'every-other', 'every-third', 'every-fourth', 'irregular', 'cannot-tell']),
  ),
  readings: v.nullable(v.array(share)),
  longestSkipRun: count,
  popDb: v.nullable(v.number()),
  unevenness: v.nullable(v.number()),
})

const recording = v.strictObject({
  quality: share,
  rateHz: v.nullable(length),
  levelDbfs: v.nullable(v.number()),
  peakDbfs: v.nullable(v.number()),
  clippedRatio: v.nullable(share),
  bandwidthHz: v.nullable(length),
  pulseToNoiseDb: v.nullable(v.number()),
  hindrances: v.array(
    v.strictObject({
      code: v.picklist([
        'too-quiet',
        'clipping',
        'wind',
        'speech',
        'levelling',
        'narrow-band',
        'too-far',
        'other-sounds',
        'too-short',
      ]),
      message: v.string(),
      advice: v.string(),
    }),
  ),
  notes: v.array(
    v.strictObject({
      code: v.picklist([
        'truncated',
        'wrong-size',
        'streaming-size',
        'odd-header',
        'damaged',
        'repaired-samples',
        'clipped-float',
        'channel-choice',
        'part',
        'in-pieces',
      ]),
      message: v.string(),
    }),
  ),
})

/** {@link CheckJson} without the list of turns, as the cache keeps it; `check.schema.json` says the same to others. */
export const KEPT_CHECK_SCHEMA = v.strictObject({
  schemaVersion: v.literal(CHECK_SCHEMA_VERSION),
  file: v.string(),
  durationS: v.nullable(length),
  verdict: v.picklist(['measured', 'no-engine', 'unusable']),
  reason: v.nullable(v.picklist(['no-periodic-pulse', 'other-sound', 'too-quiet', 'too-short', 'silent'])),
  grade: v.picklist(GRADES),
  sure: v.boolean(),
  engineProbability: share,
  ear: v.string(),
  engineSpeed: v.strictObject({
    medianRpm: v.nullable(length),
    ambiguous: v.boolean(),
    alternativeRpm: v.nullable(length),
    expected: v.nullable(
      v.strictObject({
        rpm: v.tuple([length, length]),
        freeRpm: v.nullable(length),
        freeAlternativeRpm: v.nullable(length),
      }),
    ),
  }),
  misfireRatio: ratio,
  steady: part,
  pulling: part,
  segments: v.array(segment),
  recording,
}) satisfies v.GenericSchema<unknown, CheckJson>
