/**
 * Chance that a turn fired from the ear's log-odds: logistic(shift + slope · log-odds). Fitted by bench/accuracy/calibrate.ts to
 * 240 clips of the training simulator, seed 11, with an earlier ear, and kept on 2026-11-27: on seeds 11 and 12 together it is off by 1.9 %
 * of 431,000 turns, and the line that these ask for (0.172, 0.756) by 0.9 %, too little to move every score by.
 */
export const CALIBRATION = { shift: 0.035, slope: 0.93 } as const
/** Log-odds by which the chance of a turn may be off, either way. Chosen. */
export const LOGIT_DOUBT = 1

/** Chances closer to an even one than this are told as unsure. Chosen: a coin toss, or nearly. */
export const UNSURE_WITHIN = 0.05
/** A partial burn: a chance between these, where within so many turns on either side both kinds are sure this often. Chosen. */
export const PARTIAL_FROM = 0.35
export const PARTIAL_TO = 0.65
export const PARTIAL_REACH = 4
export const PARTIAL_SURE = 0.9
export const PARTIAL_EACH = 2

/** Chance of a closed throttle from which a turn cannot be told. By definition. */
export const COASTING_FROM = 0.5

/** Turns on either side that a pattern is read from, 15 in all: each pattern nearly four times and more. Chosen. */
export const PATTERN_REACH = 7
/** Chance granted to a turn that does not fit its pattern. Chosen: one odd turn of 15 leaves a pattern standing, two do not. */
export const ODD_TURN = 0.03
/** What the freedom of an irregular pattern costs, in log-likelihood. Chosen likewise. */
export const FREEDOM_COST = 0.5
/** Mean doubt of the turns, 4 p (1 − p), from which a pattern is told only where it fits by this log-likelihood. Chosen. */
export const DOUBTFUL_FROM = 0.6
export const LEAST_FIT = 3
