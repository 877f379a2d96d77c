import { BINS_PER_OCTAVE, FRAME_RATE_HZ, SPEED_FRAMES } from '../ear/constants.js'

/** Frames of the crank speed a second. Derived. */
export const SPEED_RATE_HZ = FRAME_RATE_HZ / SPEED_FRAMES

/** Neighbouring frames hear the same sound, so that each counts for this share of what it says. Chosen. */
export const FRAME_WEIGHT = 0.35
/** Logarithm of a chance below which smaller ones make no difference: one odd frame cannot break a path. Chosen. */
export const LEAST_LOG_CHANCE = -9
/** Bins that the speed can move in a frame, 10 % in 16 ms: engines do 5 (open recordings of saws, 440 Hz/s). Chosen. */
export const MOST_MOVE = 7
/** What a path pays for a bin of movement, for a jump to any speed, and for entering or leaving "no engine". Chosen. */
export const MOVE_COST = 0.12
export const JUMP_COST = 9
export const EDGE_COST = 5
/**
 * Log-odds taken from "no engine": who records means to record one. Chosen on recordings that the ear was not trained on: of
 * 0, 2 and 4, 93, 95 and 96 % of the labelled time are read rightly, with none of 24 other sounds taken.
 */
export const NO_ENGINE_COST = 2
/** What lying outside the expected speeds counts against a multiple, in log-odds. Chosen. */
export const UNEXPECTED_LOGIT = 1.5

/** Bins on either side of a path that still are the same speed, 4.4 %. Chosen. */
export const REACH_BINS = 3
/** A path that moves further in a frame has jumped. Chosen: beyond a move, within a multiple. */
export const JUMP_BINS = 12
/** Shortest run of an engine, frames of 16 ms. Chosen. */
export const SHORTEST_FRAMES = 8

/** Readings that are asked for, as factors on the speed; the first is the path itself. Chosen. */
export const READINGS = [1, 1 / 2, 2, 3 / 2, 2 / 3, 1 / 3, 3] as const
/** The same in bins. Derived. */
export const READING_BINS: readonly number[] = READINGS.map((factor) => BINS_PER_OCTAVE * Math.log2(factor))
/** Length of a piece of evidence for or against a reading, frames: about one second. Chosen: the ear hears seconds at once. */
export const EVIDENCE_FRAMES = 62
/** Chance that is granted to every reading, so that no piece of evidence is beyond doubt. Chosen. */
export const LEAST_CHANCE = 0.01
/**
 * From this chance on another reading is declared. From bench/accuracy/calibrate.ts, seeds 11 and 12, 2026-11-27: of 600 clips 29 are
 * confidently wrong and 29 right ones declared. Chosen: from 0.02 on 19 and 67, and clean cruising would often be told as open.
 */
export const OPEN_FROM = 0.05

/** Turns on either side over which the phase is averaged, at first and then about what was found. Chosen. */
export const PHASE_TURNS = 6
export const FINE_PHASE_TURNS = 20
/** Length of the mean of phases, 0–1, below which the speed is believed instead. Chosen. */
export const LEAST_PHASE = 0.1

/**
 * Chance of an engine below which a stretch is another sound. Fitted by bench/accuracy/calibrate.ts, 2026-11-27, for the fewest
 * errors: of 840 clips, seeds 11 and 12, 22 of 600 engines are lost and 14 of 240 other sounds taken (0.5: 18 and 24; 0.7: 41 and 11;
 * 0.8: 60 and 1).
 */
export const ENGINE_FROM = 0.6
/**
 * The same in a recording in which another stretch is an engine. Chosen on the clips of `ENGINE_FROM`, 2026-11-28: 15 s more of 5,371 s of
 * engines are heard, and 2 s more of other sounds taken (97 instead of 95); lower changes nothing.
 */
export const ENGINE_STILL_FROM = 0.4
/** Least running, seconds in all, that is told from chance. Chosen. */
export const LEAST_RUNNING_S = 0.6

/**
 * Steps to one in which phases and log-odds of the ear are kept, in 8 bits. Chosen: over the milliseconds of a turn they
 * average to a thousandth of a turn and a fiftieth of a log-odd.
 */
export const PHASE_STEPS = 127
export const LOGIT_STEPS = 8

/** Turns on either side that the speed of a turn is taken over, and how far it may then lie from the speed read. Chosen. */
export const SPEED_TURNS = 3
export const SPEED_AGREES = 0.02
