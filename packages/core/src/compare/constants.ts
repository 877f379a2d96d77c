/**
 * How far apart crank speeds may lie and still count as alike: standard deviation in the natural logarithm of speed.
 * Chosen: an engine runs some percent faster at the same throttle while it skips, and that must not be weighed away.
 */
export const SPEED_REACH = 0.08

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
/**
 * How many degrees of freedom that default is worth against the spread that is seen. Fitted as below: with 10, clips that
 * differ because one of them was misheard widen the interval too little.
 */
export const PRIOR_FREEDOM = 4

/**
 * Standard deviations of what is misheard of a change. Where one side is less sure than the other: of skips it missed, in
 * units of the difference of the sides' doubt (beyond the most, more of it tells no more), and of skips it made up, in
 * units of the distance to its lowest reading. Where both are unsure: in units of the sum of their doubt, which mostly
 * cancels, as one engine's skips are misheard alike before and after. And a share of the change itself.
 *
 * Fitted to 147 generated pairs of the first simulator, seeds 1 to 60, 2026-11-25. With Student's t of 3 degrees of freedom
 * for what was misheard, the likelihood of the first and the sum is greatest at 1.46 and 0.066, and flat for a most of
 * 0.06 to 0.1. All were then set on a grid so that intervals hold 92 to 93 % of the time and at most one pair in twenty
 * without a change is called changed; within ±20 % these figures stay within one pair in fifty.
 */
export const APART_SDS = 1.5
export const MOST_APART = 0.08
export const READING_SDS = 1
export const ALIKE_SDS = 0.1
export const SCALE_SD = 0.2

/** Chance with which the smallest change would have been seen: four of five. Common practice. */
export const POWER_SDS = 0.8416

/** More passes than this nobody records: then it is said that more of the same will not do. Chosen. */
export const MOST_PASSES = 12

/** Passes differ more than foreseen when their spread, per degree of freedom, exceeds this. Chosen: chance does so rarely. */
export const UNLIKELY_SPREAD = 4

/** Doubt worth a word, as shares: of turns hidden, of a side's range of readings, of an open speed. Chosen. */
export const MANY_HIDDEN = 0.15
export const WIDE_READINGS = 0.05
export const OPEN_SHIFT = 0.01

/** How near two speeds come to a multiple of one another before it is named, as a share. Chosen: half of `SPEED_REACH`'s reach. */
export const MULTIPLE_TOLERANCE = 0.08
