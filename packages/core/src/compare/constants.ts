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
/** How many degrees of freedom that default is worth against the spread that is seen. Chosen. */
export const PRIOR_FREEDOM = 10

/**
 * Standard deviation of what is misheard of a change, in parts: of the difference of the sides' doubt (beyond the most, more
 * of it tells no more), of its sum, and of the change itself. What one engine's skips are misheard for before they are
 * mostly misheard for after, so doubt that both sides share cancels. Fitted to 90 generated pairs of the first simulator,
 * seeds 1 to 30, 2026-11-25: with Student's t of 3 degrees of freedom for what was misheard the likelihood is greatest at
 * 1.46, 0.066 and 0, and flat for a most of 0.06 to 0.1; the last two are set higher so that intervals hold as often as
 * they say.
 */
export const APART_SDS = 1.5
export const MOST_APART = 0.08
export const ALIKE_SDS = 0.1
export const SCALE_SD = 0.15

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
