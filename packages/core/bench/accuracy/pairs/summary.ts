import { median } from '../../../src/math/stats.js'
import type { PairOutcome, Said } from './outcome.js'

/** Which of a pair's two answers is meant: from all passes or from one a side. */
export type Passes = 'all' | 'one'

/** What became of a set of pairs; counts. */
export interface PairSummary {
  readonly pairs: number
  /** `helped` or `worse`, the right way and the wrong way; without a true change all of them are wrong. */
  readonly right: number
  readonly wrong: number
  readonly same: number
  readonly unclear: number
  readonly notComparable: number
  /** Intervals given, those that hold the true change, and their median width (NaN without any). */
  readonly intervals: number
  readonly held: number
  readonly width: number
}

/** Counts what was said of pairs. */
export function summarisePairs(outcomes: readonly PairOutcome[], passes: Passes): PairSummary {
  const said = outcomes.map((outcome) => outcome[passes])
  const verdicts = (verdict: Said['verdict']): number => said.filter((s) => s.verdict === verdict).length
  const called = outcomes.filter((o) => isCalled(o[passes]))
  const right = called.filter((o) => isRight(o, passes)).length
  const given = outcomes.filter((o) => o.truth !== null && o[passes].change.value !== null)
  return {
    pairs: outcomes.length,
    right,
    wrong: called.length - right,
    same: verdicts('same'),
    unclear: verdicts('unclear'),
    notComparable: verdicts('not-comparable'),
    intervals: given.length,
    held: given.filter((o) => holdsTruth(o, passes)).length,
    width: median(given.map((o) => o[passes].change.high! - o[passes].change.low!)),
  }
}

const isCalled = ({ verdict }: Said): boolean => verdict === 'helped' || verdict === 'worse'

function isRight(outcome: PairOutcome, passes: Passes): boolean {
  const { truth } = outcome
  return truth !== null && truth !== 0 && outcome[passes].verdict === (truth < 0 ? 'helped' : 'worse')
}

function holdsTruth(outcome: PairOutcome, passes: Passes): boolean {
  const { low, high } = outcome[passes].change
  return low! - 1e-9 <= outcome.truth! && outcome.truth! <= high! + 1e-9
}
