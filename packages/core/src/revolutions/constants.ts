/**
 * Log-odds that a window holds two kinds of turn: a logistic score.
 *
 * Fitted on windows of the open recordings and of both simulators, each source and class weighing the same;
 * cross-validated by recording it errs on 0.5 % of firm clean and 3.4 % of firm skipping windows (2026-11-25).
 */
export const TWO_KINDS_SCORE = {
  bias: 5.065,
  share: 2.788,
  fold: 2.06,
  largestWaveDepthDb: 0.11,
  middleWaveDepthDb: 0.077,
  againstLag1: 2.132,
  medianEnvelopeDepthDb: 0.096,
  secondEnvelopeDepthDb: 0.118,
  agreement: 0.706,
} as const

/** Share of a window's log-odds that one turn contributes: windows of 24 turns overlap. Fitted by hand. */
export const LOGIT_PER_TURN = 0.22
/** Largest log-odds a window may contribute; nothing heard is surer than this. */
export const MOST_LOGIT = 5

/** Turns on either side over which the two levels of the component are found. */
export const LEVELS_TURNS = 20

/** Chance a turn that a state ends; states last about 20 turns. Derived from the labelled recordings. */
export const END_OF_STATE = 0.04

/**
 * How much a difference of one decibel between two kinds of turn speaks for the louder or sharper one having fired,
 * in log-odds a window. Signs are physics: the blow-down of a burnt charge is louder and steeper. Sizes fitted on
 * both simulators (2026-11-25), which agree on them only roughly, so the sum is capped.
 */
export const FIRED_KIND_SCORE = {
  lowEnergy: 0.16,
  crackEnergy: 0.29,
  hissEnergy: 0.46,
  lowPeak: 0.24,
  level: 0.26,
} as const
/** Cap on what one window may say about which kind fired. */
export const MOST_KIND_LOGIT = 2

/** Separation of two groups that speaks neither for nor against two kinds of turn, and log-odds a unit. Fitted by hand. */
export const EVEN_SEPARATION = 2.2
export const SEPARATION_SLOPE = 1.2

/**
 * What the rarer kind of turn counts for as the one that fired at idle, log-odds a window; nothing above 75 turns a
 * second. Speeds from open recordings of saws (idle at 45 to 57 Hz), size chosen: loudness can overrule it.
 */
export const IDLE_VOTE = { logit: 1, fullHz: 55, noneHz: 75 } as const

/**
 * The mean turn stands out of what differs from turn to turn by this, dB, in the best waveform band, where nothing of
 * two kinds could be seen, and where all of it would. Working saws, where shallow skipping is undecidable: 3 to 9 dB.
 */
export const BLIND_DB = 1
export const CLEAR_DB = 8

/**
 * Log-odds a unit of the mean vote of a run, and windows of no opinion mixed in. Of simulated clips whose mean vote was
 * below 0.2, 0.2–0.7, 0.7–1.5 and above, 27, 85, 96 and 100 % were right (143 clips of both simulators, 2026-11-25).
 */
export const KIND_VOTE = { logitPerVote: 2.8, shrinkWindows: 2 } as const
