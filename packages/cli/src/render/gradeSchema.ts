import * as v from 'valibot'
import { CHECK_PARTS, CHECK_SCHEMA } from './checkSchema.js'
import type { GradeJson, GroupJson } from './gradeJson.js'
import { count, ratio, text } from './schemaParts.js'

const { schemaVersion, sure } = CHECK_SCHEMA.entries
const ofGroup = v.pipe(v.nullable(v.string()), v.description('By --group-by; null without it.'))

const clip = v.strictObject({ ...CHECK_SCHEMA.entries, group: ofGroup })

const unreadable = v.strictObject({
  schemaVersion,
  file: v.string(),
  group: ofGroup,
  grade: v.literal('unreadable'),
  sure,
  error: v.strictObject({
    code: v.pipe(
      v.string(),
      v.description('unreadable, unsupported-format, no-samples and the like; more may come.'),
    ),
    message: text,
    hint: v.pipe(v.nullable(v.string()), v.description('What to do about it.')),
  }),
})

const group = v.strictObject({
  schemaVersion,
  group: v.string(),
  files: v.pipe(count, v.minValue(1)),
  copies: v.pipe(
    count,
    v.description('Files that are the recording of another file again; these do not count.'),
  ),
  clips: v.pipe(count, v.description('Clips with a figure, on which the pooled one rests.')),
  pooledMisfireRatio: v.pipe(
    ratio,
    v.description(
      'Skipped turns in steady running over all turns; the interval takes the clips as units, is no narrower than the narrowest of theirs, and is null for one clip.',
    ),
  ),
  best: v.pipe(v.nullable(v.string()), v.description('Name of the clip.')),
  worst: v.nullable(v.string()),
})

/** All that a line of `grade --json` can be; `grade.schema.json` is made from it. */
export const GRADE_SCHEMA = v.union([clip, unreadable, group]) satisfies v.GenericSchema<
  unknown,
  GradeJson | GroupJson
>

/** Parts with names of their own in the published schema. */
export const GRADE_PARTS = { ...CHECK_PARTS, clip, unreadable, group }
