import { LABELS, PATTERNS } from '@everyrev/core/hear'
import * as v from 'valibot'
import { CHECK_SCHEMA_VERSION, type CheckJson, GRADES } from '../grade/types.js'
import { above0, atLeast0, count, ratio, share, text } from './schemaParts.js'

const part = v.strictObject({
  misfireRatio: ratio,
  durationS: v.pipe(atLeast0, v.description('Seconds of such running in the clip.')),
})

const segment = v.strictObject({
  startS: atLeast0,
  endS: atLeast0,
  kind: v.picklist(['idle', 'pulling', 'steady', 'coasting', 'stopped']),
  speedRpm: v.pipe(v.nullable(above0), v.description('Median crank speed; null when stopped.')),
  misfireRatio: ratio,
  pattern: v.pipe(
    v.nullable(v.picklist(PATTERNS)),
    v.description(
      'How firings follow each other. every-third and every-fourth: one turn in three or four differs from the rest; misfireRatio says which kind fires.',
    ),
  ),
  readings: v.pipe(
    v.nullable(v.pipe(v.array(share), v.length(2))),
    v.description(
      'The two shares of skipped turns that fit when two kinds of turn are sure but not which of them fires; null otherwise.',
    ),
  ),
  longestSkipRun: v.pipe(count, v.description('Longest run of skipped turns.')),
  popDb: v.pipe(
    v.nullable(v.number()),
    v.description('How much louder a firing after a skip is than one after a firing, dB.'),
  ),
  unevenness: v.pipe(
    v.nullable(atLeast0),
    v.description('Spread of the turn-to-turn speed about its trend, as a share of the speed.'),
  ),
})

const hindranceCode = v.picklist([
  'too-quiet',
  'clipping',
  'holes',
  'wind',
  'speech',
  'levelling',
  'narrow-band',
  'too-far',
  'other-sounds',
  'too-short',
])
const noteCode = v.picklist([
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
])

const recording = v.strictObject({
  quality: v.pipe(share, v.description('0 useless, 1 nothing in the way.')),
  rateHz: v.pipe(v.nullable(above0), v.description('Samples a second; null when refused.')),
  levelDbfs: v.pipe(
    v.nullable(v.number()),
    v.description('Root mean square, dB re full scale; null for silence.'),
  ),
  peakDbfs: v.nullable(v.number()),
  clippedRatio: v.nullable(share),
  bandwidthHz: v.pipe(v.nullable(atLeast0), v.description('Upper edge of the sound present.')),
  pulseToNoiseDb: v.pipe(
    v.nullable(v.number()),
    v.description('What repeats with the crank against what does not, dB; null without an engine.'),
  ),
  hindrances: v.pipe(
    v.array(
      v.strictObject({
        code: v.pipe(
          hindranceCode,
          v.description(
            'too-quiet, clipping, holes, wind, speech, levelling, narrow-band, too-far, other-sounds, too-short; more may come.',
          ),
        ),
        message: text,
        advice: text,
      }),
    ),
    v.description('What stands in the way, worst first.'),
  ),
  notes: v.pipe(
    v.array(
      v.strictObject({
        code: v.pipe(
          noteCode,
          v.description('truncated, wrong-size, odd-header, channel-choice and the like; more may come.'),
        ),
        message: text,
      }),
    ),
    v.description('What the decoder noticed about the file.'),
  ),
})

const revolution = v.strictObject({
  timeS: v.pipe(atLeast0, v.description('Start of the turn.')),
  speedRpm: above0,
  fired: v.pipe(
    v.nullable(v.boolean()),
    v.description('null when unsure; a partial burn counts on its more likely side.'),
  ),
  probability: v.pipe(share, v.description('Probability that the turn fired; 0.5 where nothing is known.')),
  label: v.picklist(LABELS),
})

/** {@link CheckJson} without the list of turns, as the cache keeps it. */
export const KEPT_CHECK_SCHEMA = v.strictObject({
  schemaVersion: v.literal(CHECK_SCHEMA_VERSION),
  file: v.pipe(v.string(), v.description('The clip as it was named; - for standard input.')),
  durationS: v.pipe(
    v.nullable(atLeast0),
    v.description(
      'Length of the clip in seconds; null when it was refused (silent or under a second) before its length was kept.',
    ),
  ),
  verdict: v.picklist(['measured', 'no-engine', 'unusable']),
  reason: v.pipe(
    v.nullable(v.picklist(['no-periodic-pulse', 'other-sound', 'too-quiet', 'too-short', 'silent'])),
    v.description('Why nothing was measured; null when it was.'),
  ),
  grade: v.pipe(
    v.picklist(GRADES.filter((grade) => grade !== 'unreadable')),
    v.description(
      'How it runs, by the share of skipped turns in steady running: from 0, 0.06, 0.2 and 0.45 on; unsure where the interval is too wide for a grade.',
    ),
  ),
  sure: v.pipe(
    v.boolean(),
    v.description('False where the interval reaches into a neighbouring grade, or nothing was graded.'),
  ),
  engineProbability: v.pipe(share, v.description('Chance that a small two-stroke is heard at all.')),
  ear: v.pipe(
    text,
    v.description(
      'The ear that was listened with, as version and hash of its weights: answers of different ears are not to be compared.',
    ),
  ),
  engineSpeed: v.strictObject({
    medianRpm: v.pipe(
      v.nullable(above0),
      v.description('Median crank speed while the engine runs; null without an engine.'),
    ),
    ambiguous: v.pipe(
      v.boolean(),
      v.description('True when another multiple of the speed explains the sound nearly as well.'),
    ),
    alternativeRpm: v.pipe(v.nullable(above0), v.description('The other reading.')),
    expected: v.pipe(
      v.nullable(
        v.strictObject({
          rpm: v.pipe(v.strictTuple([above0, above0]), v.description('Lowest and highest speed expected.')),
          freeRpm: v.pipe(
            v.nullable(above0),
            v.description('Median crank speed that the sound gives without it.'),
          ),
          freeAlternativeRpm: v.pipe(
            v.nullable(above0),
            v.description('The other reading that is open without it.'),
          ),
        }),
      ),
      v.description('What the caller expected; null where nothing was.'),
    ),
  }),
  misfireRatio: v.pipe(ratio, v.description('Over the whole time the engine runs and can be judged.')),
  steady: v.pipe(part, v.description('Steady running alone: the figure to compare.')),
  pulling: v.pipe(part, v.description('Pulling alone: speed rising under load.')),
  segments: v.array(segment),
  recording,
}) satisfies v.GenericSchema<unknown, CheckJson>

/** All that `check --json` prints; `check.schema.json` is made from it. */
export const CHECK_SCHEMA = v.strictObject({
  ...KEPT_CHECK_SCHEMA.entries,
  revolutions: v.exactOptional(
    v.pipe(
      v.array(revolution),
      v.description('Every turn of the crank while the engine runs, in order; with --revolutions only.'),
    ),
  ),
}) satisfies v.GenericSchema<unknown, CheckJson>

/** Parts with names of their own in the published schema. */
export const CHECK_PARTS = { ratio, segment, recording, revolution }
/** Codes of which more may come without a change of the version. */
export const OPEN_CODES: readonly v.GenericSchema[] = [hindranceCode, noteCode]
