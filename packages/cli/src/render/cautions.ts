import { breakLines } from './breakLines.js'

/** Said wherever somebody may be about to record. */
export const RIDING_CAUTION =
  'Mount the phone before you set off and never handle it while riding; keep to the local rules on noise.'

/** The same for the foot of a command's help, which starts sooner without the widths of emoji. */
export const RIDING_CAUTION_LINES = breakLines(RIDING_CAUTION, 79, ({ length }) => length).join('\n')

/** Said wherever an engine runs clean. */
export const CLEAN_CAUTION =
  'Running clean is no proof of health: a lean mixture skips little too, and can overheat and seize an engine. If it runs hot or you are not sure, ask a qualified mechanic.'
