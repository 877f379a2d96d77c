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
 * How much louder the kind that fired is, band by band: log-odds for one standard deviation within a kind, and for a
 * difference that no chance explains, however small: noise widens the scatter but leaves the sign. Null is the level of
 * the whole turn. Signs are physics: the blow-down of a burnt charge is louder and steeper. Sizes fitted, none below 0,
 * on 438 clips of both simulators and 1,851 stretches of 100 turns of them (tuning seeds); fitted on either alone 97 and
 * 99.5 % of the other's clips come out right (2026-11-25).
 */
export const FIRED_KIND_SCORE: readonly {
  readonly band: number | null
  readonly logitPerSd: number
  readonly logitIfSure: number
}[] = [
  { band: 0, logitPerSd: 0.37, logitIfSure: 0.22 },
  { band: 5, logitPerSd: 0.31, logitIfSure: 0.43 },
  { band: 6, logitPerSd: 0.81, logitIfSure: 0.78 },
  { band: 7, logitPerSd: 0.99, logitIfSure: 0.84 },
  { band: null, logitPerSd: 0.18, logitIfSure: 0.28 },
]
/** Standard errors beyond which a difference is soon sure: the sureness is tanh(errors / this). Flat from 1.5 to 5. */
export const SURE_ERRORS = 3
/** Cap on a difference, smallest scatter believed, turns of the rarer kind that count, and turns of no opinion mixed in. */
export const FIRED_KIND = { mostSds: 2, leastSdDb: 0.3, fewestTurns: 1.5, shrinkTurns: 6 } as const

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

/** Log-odds of two kinds of turn where long blocks find them for sure; a window that sees more keeps its own. Chosen. */
export const BLOCK_LOGIT = 3
