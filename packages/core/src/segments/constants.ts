/** Time between points of the resampled speed and level, seconds. Chosen: half of the shortest believable transition. */
export const STEP_S = 0.025

/** A part may begin at every second point, 0.05 s apart. Chosen: as fine as a transition takes. */
export const CUT_STEPS = 2

/** Shortest segment, seconds, unless the engine runs for less. Chosen: shorter spans hold too few turns to judge. */
export const MIN_SEGMENT_S = 0.3

/** Longest part the search looks for, seconds; longer running of one kind is joined from several. Chosen. */
export const MAX_PART_S = 10

/** Half-width of the window the level is averaged over, seconds. Chosen: some firings even at idle. */
export const LEVEL_WINDOW_S = 0.08

/** Scatter about a part's straight line that is taken for granted: speed as a share, level in dB, chance. Chosen. */
export const SPEED_SCATTER = 0.03
export const LEVEL_SCATTER_DB = 2
export const COASTING_SCATTER = 0.3

/** What one more part must save, in units of squared scatter over one point. Chosen on real recordings. */
export const PART_COST = 10

/** Relative rise or fall, 1/s, below which speed counts as even: 3 % in half a second. Chosen. */
export const EVEN_SLOPE_PER_S = 0.06

/** Rise or fall over the whole part, as a share, below which speed counts as even. Chosen. */
export const EVEN_CHANGE = 0.1

/** An engine below this is idling, rpm; above the other, it is not. Common practice, no source: bicycles 1,200–1,800, saws to 4,000. */
export const IDLE_SURE_RPM = 2000
export const IDLE_MAX_RPM = 4300

/** Idle as a share of the clip's top speed: below the first for sure, above the second not. Measured: 0.25 to 0.5. */
export const IDLE_SURE_SHARE = 0.32
export const IDLE_MAX_SHARE = 0.55

/** Quantile of speed over time that stands for the clip's top speed. Chosen: short blips still count. */
export const TOP_QUANTILE = 0.97

/**
 * Share of skipped turns, without a regular pattern, that is a sign of idle: an idling engine fires every 2 to 8 turns.
 * Up to the speed given, rpm, it is sign enough even where the clip holds nothing faster. Chosen.
 */
export const IDLE_SKIPS = 0.6
export const IDLE_SKIPPING_RPM = 3600

/** Quieter than the clip's loud tenth by this, dB: a sign of idle. Measured on saws: 10 dB and more. */
export const IDLE_QUIETER_DB = 8

/** A span is `cannot-tell` from this share of turns that cannot be told; below the other no pattern has a clear majority. Chosen. */
export const CANNOT_TELL_SHARE = 0.6
export const MIXED_BELOW = 0.6

/** Firings on each side of the comparison for a pop, and how far apart they may lie, turns. Chosen. */
export const MIN_POPS = 5
export const POP_NEIGHBOURS = 20

/** Turns on each side that make the local trend of speed: nine in all hold whole periods or nearly. Chosen. */
export const TREND_HALF_TURNS = 4
export const MIN_UNEVENNESS_TURNS = 12
