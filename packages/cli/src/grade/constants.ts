/** Up to here, upper end of the interval, an engine counts as firing every turn. Common practice, no source. */
export const CLEAN_HIGH = 0.06
/** Width of a 95 % interval, as a share of turns, beyond which no grade is given and no middle. Common practice, no source. */
export const VAGUE_WIDTH = 0.4
