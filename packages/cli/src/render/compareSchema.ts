import { PATTERNS, REASON_CODES } from '@everyrev/core'
import * as v from 'valibot'
import { COMPARE_SCHEMA_VERSION, type CompareJson } from './compareJson.js'
import { above0, atLeast0, count, share, text } from './schemaParts.js'

const estimate = v.pipe(
  v.strictObject({
    value: v.nullable(v.number()),
    low: v.nullable(v.number()),
    high: v.nullable(v.number()),
  }),
  v.description('A figure with its 95 % interval; null where it cannot be told.'),
)

const compared = v.pipe(
  v.strictObject({ before: v.nullable(v.number()), after: v.nullable(v.number()), change: estimate }),
  v.description(
    'A figure of both sides, the mean over their clips; the interval needs two clips or more on each side.',
  ),
)

const side = v.strictObject({
  files: v.pipe(
    v.array(v.string()),
    v.minLength(1),
    v.description('The clips as they were named; - for standard input.'),
  ),
  misfireRatio: v.pipe(
    v.nullable(share),
    v.description(
      'Share of skipped turns: in the mix of running both sides have in common, or as this side ran when not comparable.',
    ),
  ),
  interval: v.pipe(
    v.nullable(v.strictObject({ low: share, high: share })),
    v.description('95 % interval of misfireRatio.'),
  ),
  passes: v.pipe(count, v.description('Clips that count, of those named.')),
  turns: v.pipe(count, v.description('Judged turns of the crank in them.')),
  runningS: v.pipe(atLeast0, v.description('Seconds those turns take.')),
  unknown: v.pipe(share, v.description('Share of those turns of which nothing is known.')),
  speedRpm: v.pipe(v.nullable(above0), v.description('Median crank speed.')),
  patterns: v.pipe(
    v.nullable(v.strictObject(v.entriesFromList(PATTERNS, share))),
    v.description('Share of the turns in each pattern.'),
  ),
})

const reason = v.strictObject({
  code: v.picklist(REASON_CODES),
  message: text,
  advice: v.pipe(v.nullable(text), v.description('What to do about it; null where nothing needs doing.')),
})

/** All that `compare --json` prints; `compare.schema.json` is made from it. */
export const COMPARE_SCHEMA = v.strictObject({
  schemaVersion: v.literal(COMPARE_SCHEMA_VERSION),
  ear: v.pipe(
    text,
    v.description('The ear that all clips were listened to with, as version and hash of its weights.'),
  ),
  verdict: v.pipe(
    v.picklist(['helped', 'worse', 'same', 'unclear', 'not-comparable']),
    v.description(
      'helped: the whole interval of the change lies below 0 (fewer skipped turns); worse: above; same: within the margin; unclear: none of these, or the recording of one side alone can hide skips (poor-side).',
    ),
  ),
  reasons: v.pipe(
    v.array(reason),
    v.description(
      'Why the verdict is what it is, what makes it less sure, and what to record next; the weightiest first.',
    ),
  ),
  worth: v.pipe(
    above0,
    v.ltValue(1),
    v.description('Smallest change worth noticing, as a share of turns: the margin of same.'),
  ),
  change: v.pipe(
    estimate,
    v.description('Change of the share of skipped turns, -1 to 1; null when not comparable.'),
  ),
  chanceBetter: v.pipe(
    v.nullable(share),
    v.description('Chance that the engine skips less after than before; null when not comparable.'),
  ),
  smallestChange: v.pipe(
    v.nullable(atLeast0),
    v.description(
      'Smallest change these clips would have shown in four of five cases, as a share of turns; null when not comparable.',
    ),
  ),
  smallestWithOneMore: v.pipe(
    v.nullable(atLeast0),
    v.description('The same with one more clip like these on each side.'),
  ),
  toSettle: v.pipe(
    v.nullable(
      v.strictObject({
        passes: v.pipe(count, v.minValue(1), v.description('More clips on each side.')),
        runningS: v.pipe(atLeast0, v.description('Seconds of running in them together.')),
      }),
    ),
    v.description(
      'What would lead to a verdict if the change stays as heard; null where there is a verdict, where sides are not comparable, and where more of the same would not do.',
    ),
  ),
  overlap: v.pipe(
    v.nullable(share),
    v.description(
      'Share of running both sides have in common, by kind and crank speed; null without an engine on both.',
    ),
  ),
  before: side,
  after: side,
  popDb: v.pipe(
    compared,
    v.description('How much louder a firing after a skip is than a steady firing of the same clip, dB.'),
  ),
  unevenness: v.pipe(
    compared,
    v.description(
      'Spread of the turn-to-turn speed about its trend in steady running, as a share of the speed.',
    ),
  ),
  loudnessDbfs: v.pipe(
    v.nullable(compared),
    v.description('A-weighted level while running, dB re full scale; null without --same-gain.'),
  ),
}) satisfies v.GenericSchema<unknown, CompareJson>

/** Parts with names of their own in the published schema. */
export const COMPARE_PARTS = { estimate, compared, side }
