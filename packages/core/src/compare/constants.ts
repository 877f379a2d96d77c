/**
 * How far apart crank speeds may lie and still count as alike: standard deviation in the natural logarithm of speed.
 * Chosen: an engine runs some percent faster at the same throttle while it skips, and that must not be weighed away.
 */
export const SPEED_REACH = 0.08

/** How many times likelier one crank speed before and after a change is than twice or half of it, on the same road. Chosen. */
export const SAME_SPEED_ODDS = 10

/** Least share of running in common, by kind and speed. By definition: at least half of each side. */
export const MIN_OVERLAP = 0.5

/** Fewest known turns a side and a clip must have in the common mix: ten and five batches of twelve. Chosen. */
export const MIN_SIDE_TURNS = 120
export const MIN_PASS_TURNS = 60

/**
 * Default margin of `same`, share of turns. Chosen: about twice what passes of one unchanged engine differ by (see
 * `PASS_TURNS`), so a smaller gain would drown in the next ride.
 */
export const WORTH = 0.03

/**
 * Passes of an unchanged engine differ beyond chance as if each were at most this many independent turns: by 1.5 points
 * (standard deviation) where a third of the turns is skipped, less where hardly any is. Chosen.
 */
export const PASS_TURNS = 1000
/** How unsure a change is. */
export interface Hearing {
  /** Degrees of freedom that the spread which lengths and `PASS_TURNS` foresee is worth against the one seen. Chosen. */
  readonly priorFreedom: number
  /** Standard deviation of the change, share of turns, even where nothing is in doubt. */
  readonly baseSd: number
  /** Per difference of the squares of the sides' doubt. */
  readonly apartSds: number
  /** Per sum of their doubt: mostly it cancels, as one engine is misheard alike. */
  readonly alikeSds: number
}

/**
 * Fitted by bench/accuracy/fitCompare.ts to 100 engines of the training simulator before and after a change, seed 13, with an earlier
 * ear, 2026-11-27, and kept: with ear 4-b386ea29 91 % of the intervals hold with one clip a side and with three, 1 % of the changes that
 * are none are called, and one engine of 35 the wrong way. A fit to 95 % asks for 4 and 0.2: few engines, far harder
 * than recorded ones. Recorded engines, heard by ears that never heard them, need less: the four that can be held against themselves
 * hold with 1 and 0.12. The base is chosen: more of it holds no more, and would leave no room to say that nothing changed
 * by the margin worth noticing.
 */
export const HEARING: Hearing = {
  priorFreedom: 3,
  baseSd: 0.007,
  apartSds: 1.7,
  alikeSds: 0.15,
}

/** Φ⁻¹(0.8): the smallest change would have been seen in four cases of five. Derived; that chance: common practice, no source. */
export const POWER_SDS = 0.8416

/** More passes than this nobody records: then it is said that more of the same will not do. Chosen. */
export const MOST_PASSES = 12

/** Passes differ more than foreseen when their spread, per degree of freedom, exceeds this. Chosen: chance does so rarely. */
export const UNLIKELY_SPREAD = 4

/** Doubt worth a word, as shares: of turns hidden, of a side's range of readings, of an open speed. Chosen. */
export const MANY_HIDDEN = 0.15
export const WIDE_READINGS = 0.1
export const OPEN_SHIFT = 0.01

/**
 * Level of what repeats with the crank against what does not, dB, below which a clip hides skips. Chosen: noise alone gives −9, and
 * what is announced as too far away begins at −3.
 */
export const FAR_BELOW_DB = -5

/** How near two speeds come to a multiple of one another before it is named, as a share. Chosen: half of `SPEED_REACH`'s reach. */
export const MULTIPLE_TOLERANCE = 0.08

/**
 * Correlation of loudness over time from which two clips are one recording. Chosen on the labelled recordings of five seconds,
 * 2026-11-26: of 276 pairs of different ones the most alike reaches 0.58; of 119 encoded anew (AAC 64 kbit/s, Opus 12 kbit/s),
 * trimmed, dulled below 900 Hz or levelled four to one, 114 reach 0.66.
 */
export const SAME_FROM = 0.66
