import type { CompareVerdict, Estimate, ReasonCode } from '@everyrev/core'
import type { Change, Group, Skipping, Source } from './types.js'

/** What is to be made and compared. */
export interface PairTask {
  readonly source: Source
  readonly change: Change
  readonly seed: number
}

/** What a comparison said. */
export interface Said {
  readonly verdict: CompareVerdict
  readonly change: Estimate
  readonly reasons: readonly ReasonCode[]
}

/** What became of one pair. */
export interface PairOutcome {
  readonly task: PairTask
  /** Whatever was thrown; null when nothing was. */
  readonly error: string | null
  readonly skipping: Skipping
  /** The harder of the two recordings. */
  readonly group: Group
  /** Long-run change, after minus before; for twins and speeds apart there is none to hold a figure against. */
  readonly truth: number | null
  /** Said from all passes of a side, and from the first of each alone. */
  readonly all: Said
  readonly one: Said
  readonly clipS: number
  readonly analysisS: number
}

const NOTHING: Said = {
  verdict: 'not-comparable',
  change: { value: null, low: null, high: null },
  reasons: [],
}

/** A pair that could not be judged counts as not comparable. */
export function failedPair(task: PairTask, error: string): PairOutcome {
  return {
    task,
    error,
    skipping: 'every-other',
    group: 'quiet',
    truth: null,
    all: NOTHING,
    one: NOTHING,
    clipS: 0,
    analysisS: 0,
  }
}
