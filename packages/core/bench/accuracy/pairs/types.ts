/** Ways of skipping both simulators can be asked for, by which turns fire. */
export type Skipping = 'every-other' | 'two-of-three' | 'every-third' | 'irregular'
export type PairState = Skipping | 'every-turn'

/** How much stands in the way: near and still; traffic, echo or levelling; what nobody should record. */
export const GROUPS = ['quiet', 'moderate', 'hard'] as const
export type Group = (typeof GROUPS)[number]

/** What became of the engine; `speeds` runs clearly faster on one side, `twins` is one sound that can be read two ways. */
export const CHANGES = ['none', 'small', 'large', 'speeds', 'twins'] as const
export type Change = (typeof CHANGES)[number]

export type Source = 'first' | 'second'
export type SideName = 'before' | 'after'

/** How the engine of one side runs in the long run, and what it is heard through. */
export interface Habit {
  readonly skipping: Skipping
  /** Share of the time at each speed of the pair. */
  readonly speedShare: readonly number[]
  /** Share of that time in which it skips. */
  readonly skippingShare: readonly number[]
  readonly group: Group
}

/** One engine before and after; everything else about a pass is drawn from the seed. */
export interface PairPlan {
  readonly source: Source
  readonly change: Change
  readonly seed: number
  /** Mean crank speeds it runs at, turns a second: one, or two that are far apart. */
  readonly speedsHz: readonly number[]
  /** Half the range the share of skipping time differs by from pass to pass. */
  readonly passSpread: number
  readonly before: Habit
  readonly after: Habit
}

/** One stretch of running in one way. */
export interface RideLeg {
  readonly state: PairState
  readonly lengthS: number
  readonly speedHz: number
}
