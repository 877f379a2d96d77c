/** Shortest batch, turns: the least common multiple of 2, 3 and 4, so that every regular pattern averages out. Derived. */
export const BATCH_TURNS = 12

/** Batches of pseudo-data that say "turns are independent"; keeps short spans from looking surer than they are. Chosen. */
export const PRIOR_BATCHES = 2

/** Labelling errors come in runs of about this many turns: a state settles within 3 to 10 turns. Chosen from that. */
export const ERROR_RUN_TURNS = 8

/** Agreement of disjoint bands below which labels are no longer taken at their word. Fitted on simulated clips. */
export const RELIABLE_FROM = 0.5

/** Standard deviation of the share of skipped turns where the bands do not agree at all (reliability 0). Chosen. */
export const UNRELIABLE_SD = 0.1

/** An unsure turn counts in full once its probability is this far from 1/2, and not at all at 1/2. Chosen. */
export const KNOWN_DISTANCE = 0.1

/** Turns nothing is known of may lie half-way from the known ones to either bound. Chosen. */
export const UNKNOWN_PULL = 0.5

/** With less than this share of turns known there is no ratio to speak of. Chosen. */
export const MIN_KNOWN_SHARE = 0.2

/** Bounds at least this far apart, one on each side of 1/2, mean "two kinds of turn, not told which fired". Chosen. */
export const EITHER_WAY_SPREAD = 0.5

/** A probability this close to 1/2 says nothing of which kind the turn is. Chosen. */
export const EVEN_CHANCE = 0.02

/** The share of wrong labels, twice, is not corrected beyond this: the divisor 1 − 2 error must stay clear of 0. Chosen. */
export const MAX_ERROR = 0.8
