/** Sound up to this length is kept as a whole, seconds. Chosen for memory; phone clips are mostly shorter. */
export const WHOLE_S = 120
/** Sound is listened to in pieces of this length, seconds: whole steps of the ear's recurrent layer (2.56 s). Chosen. */
export const PIECE_S = 61.44
/**
 * What a piece hears of its neighbours on either side, seconds: as much as the ear makes use of. Like the pieces a multiple of
 * the recurrent layer's step of 2.56 s, which is a whole number of samples at all usual rates.
 */
export const OVERLAP_S = 5.12
/** Blocks of sound that memory is laid out for, seconds; longer ones only take more of it. */
export const BLOCK_S = 10
/** Hindrances in less than this share of the pieces are not told. */
export const TOLD_SHARE = 0.1
