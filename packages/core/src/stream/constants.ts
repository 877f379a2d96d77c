/** Sound up to this length is listened to as a whole, seconds. Chosen for memory; phone clips are mostly shorter. */
export const WHOLE_S = 120
/** Longer sound is listened to in pieces of this length, seconds. A whole number of frames of the speed track. */
export const PIECE_S = 60
/** What a piece hears of its neighbours on either side, seconds: many times the longest window of any stage. */
export const OVERLAP_S = 5
/** Where two pieces are joined, seconds about the border: at the two turns that fit best. */
export const JOIN_S = 1
/** Speeds of two pieces this close, as a share, are one reading of the same engine. */
export const SAME_SPEED = 0.05
/** Hindrances in less than this share of the pieces are not told. */
export const TOLD_SHARE = 0.1
