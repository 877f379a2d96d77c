/** Standard deviation of the error that all turns of a clip share even where the ear is sure of each. Chosen. */
export const BASE_SD = 0.015

/**
 * The same per mean doubt of the turns: what is doubtful may all be misheard in one way. Fitted by bench/accuracy/calibrate.ts to
 * two kinds of material that count alike, 2026-11-27: 579 clips of the training simulator, seeds 11 and 12, of which 91 % hold, and 32
 * firm states of recordings heard by ears that never heard them, of which all do.
 */
export const DOUBT_SD = 0.18

/** Chance errors come in runs of about this many turns: a state settles within 3 to 10 turns. Chosen from that. */
export const ERROR_RUN_TURNS = 8

/** Turns nothing is known of may lie half-way from the known ones to either bound. Chosen. */
export const CANNOT_TELL_PULL = 0.5

/** With less than this share of turns told there is no ratio to speak of. Chosen. */
export const MIN_TOLD_SHARE = 0.2
