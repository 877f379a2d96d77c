import type { Ratio } from '@everyrev/core'
import type { Group } from '../grade/groups.js'
import type { GradeRow, Refusal } from '../grade/row.js'
import { CHECK_SCHEMA_VERSION, type CheckJson, type Grade } from '../grade/types.js'

/** What `everyrev grade --json` prints a line of; published as `schema/grade.schema.json`. */
export type GradeJson =
  | (CheckJson & GradeFields)
  | (GradeFields & {
      readonly schemaVersion: typeof CHECK_SCHEMA_VERSION
      readonly file: string
      readonly error: Refusal
    })

interface GradeFields {
  readonly group: string | null
  readonly grade: Grade
  readonly sure: boolean
}

/** The line of a clip: what `check --json` says and the grade; of a file that could not be read, the error. */
export function gradeJson({ file, group, grade, sure, error }: GradeRow, check: CheckJson | null): GradeJson {
  const fields = { group, grade, sure }
  if (check) return { ...check, file, ...fields }
  return { schemaVersion: CHECK_SCHEMA_VERSION, file, ...fields, error: error! }
}

export interface GroupJson {
  readonly schemaVersion: typeof CHECK_SCHEMA_VERSION
  readonly group: string
  readonly files: number
  /** Files that are another one again: these do not count. */
  readonly copies: number
  /** Clips the pooled ratio rests on. */
  readonly clips: number
  readonly pooledMisfireRatio: Ratio
  readonly best: string | null
  readonly worst: string | null
}

/** The line of a group, after those of all clips. */
export function groupJson({ name, files, copies, pooled, best, worst }: Group): GroupJson {
  const { clips, value, low, high, turns } = pooled
  return {
    schemaVersion: CHECK_SCHEMA_VERSION,
    group: name,
    files,
    copies,
    clips,
    pooledMisfireRatio: { value: short(value), low: short(low), high: short(high), turns },
    best: best?.file ?? null,
    worst: worst?.file ?? null,
  }
}

/** Four digits, as everywhere in the JSON. */
function short(share: number | null): number | null {
  return share === null ? null : Number(share.toFixed(4))
}
