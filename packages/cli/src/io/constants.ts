/**
 * Up to this size the built-in decoders go first; they take some 10 s for what ffmpeg reads in one, and unpack the whole
 * file. 2 MiB are two minutes of AAC at 128 kbit/s, and at most some 20 minutes of a speech coder at 12 to 16 kbit/s.
 */
export const SMALL_BYTES = 2 * 2 ** 20

/** A WAV file up to this size is read at once. */
export const WHOLE_WAV_BYTES = 2 ** 20

/** Largest file read into memory: what one Node.js read gives back. */
export const MAX_BYTES = 2 ** 31 - 1

/** What is piped in is kept in memory up to this size. */
export const HELD_BYTES = 2 ** 24

/** A decoder that has been waited for so long is stopped, seconds; an hour of sound takes ffmpeg a few. */
export const DECODE_TIMEOUT_S = 120

/** Matroska goes to the built-in decoder in pieces: 60 s of Opus as a whole takes it 54 s, in pieces 2 s. Measured. */
export const MATROSKA_PIECE_BYTES = 65_536

/** Decoded sound goes a little over full scale; beyond this (12 dB) the bytes were not what they seemed. */
export const MAX_DECODED_PEAK = 4
