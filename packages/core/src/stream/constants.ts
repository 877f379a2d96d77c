/** Sound up to this length is kept as a whole, seconds. Chosen for memory; phone clips are mostly shorter. */
export const WHOLE_S = 120
/** Blocks of sound that memory is laid out for, seconds; longer ones only take more of it. Chosen. */
export const BLOCK_S = 10
/** Hindrances in less than this share of the pieces are not told. Chosen. */
export const TOLD_SHARE = 0.1
