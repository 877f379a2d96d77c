import type { Analysis, Ratio } from '@everyrev/core'
import { CLEAN_HIGH, VAGUE_WIDTH } from './constants.js'
import { lengthOf } from './lengthOf.js'
import type { CheckJson, Grade } from './types.js'

export interface GradeClass {
  readonly grade: Grade
  /** In the words of the trade. */
  readonly words: string
  /** Share of skipped turns from which the class counts, 0–1; it ends where the next begins. */
  readonly from: number
  /** What running with such a share is like, which is why it begins there. */
  readonly reason: string
}

/** From best to worst. */
export const GRADE_CLASSES: readonly GradeClass[] = [
  {
    grade: 'runs-clean',
    words: 'runs clean',
    from: 0,
    reason: 'single skips, no rhythm',
  },
  {
    grade: 'skips-now-and-then',
    words: 'skips now and then',
    from: CLEAN_HIGH,
    reason: 'less than the mildest rhythm, 1 skip in 4',
  },
  {
    grade: 'four-strokes',
    words: 'four-strokes',
    from: 0.2,
    reason: '1 skip in 4 or 3, or every other turn at times',
  },
  {
    grade: 'four-strokes-hard',
    words: 'four-strokes hard',
    from: 0.45,
    reason: 'fires every other turn (50 %) or less',
  },
]

/** Steady running below which no grade is given, seconds: some hundred turns. Common practice, no source. */
export const LEAST_STEADY_S = 2

export interface Graded {
  readonly grade: Grade
  /** False where the interval reaches into a neighbouring class, or nothing was graded. */
  readonly sure: boolean
  /** Why nothing was graded; null where something was. */
  readonly why: string | null
}

/**
 * Puts a clip into a class by its share of skipped turns in steady running; idle and pulling do not count.
 *
 * The value chooses the class and the 95 % interval says whether to believe it: within one class it is sure, with a part
 * in one neighbour it is probable. An interval that touches three classes, or is as wide as `check` calls hardly told,
 * makes the clip `unsure`; it is not forced into a class.
 *
 * @param check an analysis, or what is kept of it
 */
export function gradeOf(check: Analysis | CheckJson): Graded {
  const notJudged = (why: string): Graded => ({ grade: 'not-judged', sure: false, why })
  if (check.verdict === 'no-engine') return notJudged('no engine heard')
  if (check.verdict === 'unusable') return notJudged(check.reason?.replace('-', ' ') ?? 'cannot be judged')
  const { misfireRatio, durationS } = 'score' in check ? keptOf(check) : check.steady
  if (durationS === 0) return notJudged('no steady running')
  if (durationS < LEAST_STEADY_S) return notJudged('too little steady running, record longer')
  return gradeOfRatio(misfireRatio)
}

/** What is kept of steady running. */
function keptOf({ score, segments }: Analysis): CheckJson['steady'] {
  return { misfireRatio: score.steady, durationS: lengthOf(segments.filter(({ kind }) => kind === 'steady')) }
}

/** The same for a share of skipped turns alone. */
export function gradeOfRatio({ value, low, high }: Ratio): Graded {
  const unsure: Graded = { grade: 'unsure', sure: false, why: null }
  if (value === null || low === null || high === null || high - low > VAGUE_WIDTH) return unsure
  const lowest = GRADE_CLASSES.findLastIndex(({ from }) => from <= low)
  // An interval that ends on an edge does not reach into the class beyond.
  const highest = Math.max(
    lowest,
    GRADE_CLASSES.findLastIndex(({ from }) => from < high),
  )
  if (highest - lowest > 1) return unsure
  const { grade } = GRADE_CLASSES.findLast(({ from }) => from <= value)!
  return { grade, sure: highest === lowest, why: null }
}
