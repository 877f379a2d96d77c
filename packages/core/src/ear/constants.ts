/** Sampling rate of the ear, Hz. Given by the model (`scripts/ear/net.py`), as are all numbers of this file. */
export const EAR_RATE_HZ = 16000
/** Fine frames a second. Given by the model, as are all numbers of this file. */
export const FRAME_RATE_HZ = 1000
/** Fine frames to one frame of speed. */
export const SPEED_FRAMES = 16
/** Lowest crank speed told, turns a second, and how closely speeds lie. */
export const SPEED_LOW_HZ = 15
export const BINS_PER_OCTAVE = 48
/** Crank speeds told apart: up to 260 turns a second. */
export const SPEED_BINS = 198
/**
 * Frames of 64 ms that the recurrent layer hears at a time, and from one span to the next: it hears long sound in spans that
 * are faded over, as it learnt on clips of six seconds.
 */
export const MEMORY_SPAN = 80
export const MEMORY_STEP = 40
