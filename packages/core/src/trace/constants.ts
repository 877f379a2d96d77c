/** Sound is listened to in pieces of this length, seconds: whole steps of the ear's recurrent layer (2.56 s). Chosen. */
export const PIECE_S = 61.44
/**
 * What a piece hears of its neighbours on either side, seconds: nearly as much as the ear makes use of. Near a border its log-odds are
 * off by 0.02 at the most; only with half as much again are they the same. Like the pieces a multiple of the recurrent layer's step
 * of 2.56 s, which is a whole number of samples at all usual rates. Chosen.
 */
export const OVERLAP_S = 5.12
