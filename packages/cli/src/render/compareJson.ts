import type { Compared, ComparedSide, Comparison, Estimate, Pattern } from '@everyrev/core'
import { adviceOf } from './compareSentences.js'
import { round } from './round.js'

/** Raised when a field changes its meaning or goes away; added fields keep it. */
export const COMPARE_SCHEMA_VERSION = 1

/** What `everyrev compare --json` prints; published as `schema/compare.schema.json`. Shares are 0–1, nothing told is null. */
export interface CompareJson
  extends Pick<
    Comparison,
    | 'verdict'
    | 'reasons'
    | 'worth'
    | 'change'
    | 'chanceBetter'
    | 'smallestChange'
    | 'smallestWithOneMore'
    | 'toSettle'
    | 'overlap'
  > {
  readonly schemaVersion: typeof COMPARE_SCHEMA_VERSION
  readonly ear: string
  readonly before: SideJson
  readonly after: SideJson
  readonly popDb: Compared
  readonly unevenness: Compared
  readonly loudnessDbfs: Compared | null
}

export interface SideJson {
  readonly files: readonly string[]
  readonly misfireRatio: number | null
  readonly interval: { readonly low: number; readonly high: number } | null
  readonly passes: number
  readonly turns: number
  readonly runningS: number
  readonly unknown: number
  readonly speedRpm: number | null
  readonly patterns: Readonly<Record<Pattern, number>> | null
}

/** The files of both sides as they were named. */
export interface Files {
  readonly before: readonly string[]
  readonly after: readonly string[]
}

/** The whole answer as one plain object, ready for `JSON.stringify`. */
export function compareJson(comparison: Comparison, files: Files): CompareJson {
  const { toSettle, loudness } = comparison
  return {
    schemaVersion: COMPARE_SCHEMA_VERSION,
    ear: comparison.earVersion,
    verdict: comparison.verdict,
    reasons: comparison.reasons.map((reason) => ({ ...reason, advice: adviceOf(reason) })),
    worth: comparison.worth,
    change: estimate(comparison.change, 4),
    chanceBetter: round(comparison.chanceBetter, 4),
    smallestChange: round(comparison.smallestChange, 4),
    smallestWithOneMore: round(comparison.smallestWithOneMore, 4),
    toSettle: toSettle && { passes: toSettle.passes, runningS: round(toSettle.runningS, 1) ?? 0 },
    overlap: round(comparison.overlap, 4),
    before: side(comparison.before, files.before),
    after: side(comparison.after, files.after),
    popDb: compared(comparison.pop, 2),
    unevenness: compared(comparison.unevenness, 5),
    loudnessDbfs: loudness && compared(loudness, 1),
  }
}

function side({ interval, patterns, ...rest }: ComparedSide, files: readonly string[]): SideJson {
  const { misfireRatio, passes, turns, runningS, unknown, speedRpm } = rest
  return {
    files,
    misfireRatio: round(misfireRatio, 4),
    interval: interval && { low: round(interval.low, 4) ?? 0, high: round(interval.high, 4) ?? 1 },
    passes,
    turns,
    runningS: round(runningS, 1) ?? 0,
    unknown: round(unknown, 4) ?? 0,
    speedRpm: round(speedRpm, 1),
    patterns:
      patterns &&
      (Object.fromEntries(
        Object.entries(patterns).map(([name, share]) => [name, round(share, 4) ?? 0]),
      ) as Record<Pattern, number>),
  }
}

function compared({ before, after, change }: Compared, digits: number): Compared {
  return { before: round(before, digits), after: round(after, digits), change: estimate(change, digits) }
}

function estimate({ value, low, high }: Estimate, digits: number): Estimate {
  return { value: round(value, digits), low: round(low, digits), high: round(high, digits) }
}
