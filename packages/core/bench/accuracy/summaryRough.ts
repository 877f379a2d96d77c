import { mean } from '../../src/math/stats.js'
import { HARDSHIPS, type Hardship, ROUGHENINGS, type Roughening } from './rough/kinds.js'
import { allStates, type JudgedClip, shareOf, summariseReal, type Tally } from './summaryReal.js'

/** Figures of one roughening, or their means. Shares are 0–1 of the surely labelled time. */
export interface RoughSummary {
  readonly kind: Roughening
  readonly engines: Tally
  /** `right` counts engines heard where there is none. */
  readonly falseEngines: Tally
  readonly sureRight: number
  readonly confidentlyWrong: number
  readonly firm: Tally
  readonly likely: Tally
}

/** What became of engines under another sound. */
export interface HardshipSummary {
  readonly kind: Hardship
  readonly engines: Tally
  /** Shares of the surely labelled time: `open` also holds time in which no speed is given. */
  readonly frames: { readonly right: number; readonly open: number; readonly wrong: number }
  readonly firm: Tally
}

/** Sums up the suite `rough`; kinds that were not made are left out. */
export function summariseRough(outcomes: readonly JudgedClip[]): {
  roughenings: RoughSummary[]
  means: Omit<RoughSummary, 'kind'> | null
  hardships: HardshipSummary[]
} {
  const of = (kind: string) => outcomes.filter(({ task }) => task.rough === kind)
  const roughenings = ROUGHENINGS.filter((kind) => of(kind).length > 0).map((kind): RoughSummary => {
    const { engines, falseEngines, sure, states } = summariseReal(of(kind))
    return {
      kind,
      engines,
      falseEngines,
      sureRight: shareOf(sure, 'right'),
      confidentlyWrong: shareOf(sure, 'wrong', 'off'),
      firm: allStates(states.sure),
      likely: allStates(states.likely),
    }
  })
  const hardships = HARDSHIPS.filter((kind) => of(kind).length > 0).map((kind): HardshipSummary => {
    const { engines, sure, states } = summariseReal(of(kind))
    const frames = {
      right: shareOf(sure, 'right'),
      open: shareOf(sure, 'open', 'missing'),
      wrong: shareOf(sure, 'wrong', 'off'),
    }
    return { kind, engines, frames, firm: allStates(states.sure) }
  })
  return { roughenings, means: roughenings.length > 0 ? meansOf(roughenings) : null, hardships }
}

function meansOf(rows: readonly RoughSummary[]): Omit<RoughSummary, 'kind'> {
  const over = (of: (row: RoughSummary) => number) => mean(rows.map(of))
  const tallies = (of: (row: RoughSummary) => Tally): Tally => ({
    right: over((row) => of(row).right),
    of: over((row) => of(row).of),
    open: over((row) => of(row).open),
  })
  return {
    engines: tallies((row) => row.engines),
    falseEngines: tallies((row) => row.falseEngines),
    sureRight: over((row) => row.sureRight),
    confidentlyWrong: over((row) => row.confidentlyWrong),
    firm: tallies((row) => row.firm),
    likely: tallies((row) => row.likely),
  }
}
