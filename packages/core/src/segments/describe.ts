import { CANNOT_TELL, PATTERNS, type Pattern, type Revolutions, SKIPPED } from '../labels/types.js'
import type { TurnRange } from '../ratio/types.js'
import { CANNOT_TELL_SHARE, MIXED_BELOW } from './constants.js'

/**
 * Pattern of most turns of a span; `irregular` when no pattern holds a clear majority of the turns that are told,
 * `cannot-tell` when most are not.
 *
 * @returns null for an empty span
 */
export function dominantPattern(revolutions: Revolutions, range: TurnRange): Pattern | null {
  const turns = range.endTurn - range.firstTurn
  if (turns <= 0) return null
  const counts = new Uint32Array(PATTERNS.length)
  for (let i = range.firstTurn; i < range.endTurn; i++) counts[revolutions.pattern[i]!]!++
  const cannotTell = counts[CANNOT_TELL]!
  if (cannotTell >= CANNOT_TELL_SHARE * turns) return 'cannot-tell'
  const told = turns - cannotTell
  const most = PATTERNS.findIndex(
    (name, code) => name !== 'cannot-tell' && counts[code]! >= MIXED_BELOW * told,
  )
  return most < 0 ? 'irregular' : PATTERNS[most]!
}

/** Longest run of skipped turns within a span, not counting across gaps. */
export function longestSkipRun(revolutions: Revolutions, range: TurnRange): number {
  let longest = 0
  let run = 0
  for (let i = range.firstTurn; i < range.endTurn; i++) {
    const joined = i > range.firstTurn && revolutions.stretch[i] === revolutions.stretch[i - 1]
    run = revolutions.label[i] === SKIPPED ? (joined ? run : 0) + 1 : 0
    longest = Math.max(longest, run)
  }
  return longest
}
