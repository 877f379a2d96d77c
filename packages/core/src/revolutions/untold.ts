import type { Span } from '../segments/types.js'
import { CANNOT_TELL, PATTERNS, type Revolutions, UNSURE } from './types.js'

const EVERY_TURN = PATTERNS.indexOf('every-turn')

/**
 * Turns of which it cannot be heard whether they fire become unsure: all of a coasting span, since a closed throttle
 * sounds clean, and at idle those in which no two kinds of turn were found. An idling two-stroke fires every 2 to 8
 * turns (open recordings of saws, 45 to 57 turns a second), so even running there is more often a difference that was
 * missed than a firing in every turn.
 */
export function withoutUntold(revolutions: Revolutions, spans: readonly Span[]): Revolutions {
  const out = {
    ...revolutions,
    label: revolutions.label.slice(),
    firedProbability: revolutions.firedProbability.slice(),
    firedLow: revolutions.firedLow.slice(),
    firedHigh: revolutions.firedHigh.slice(),
    pattern: revolutions.pattern.slice(),
  }
  for (const { kind, firstTurn, endTurn } of spans) {
    if (kind !== 'coasting' && kind !== 'idle') continue
    for (let n = firstTurn; n < endTurn; n++) {
      if (kind === 'idle' && revolutions.pattern[n] !== EVERY_TURN) continue
      out.label[n] = UNSURE
      out.firedProbability[n] = 0.5
      out.firedLow[n] = 0
      out.firedHigh[n] = 1
      out.pattern[n] = CANNOT_TELL
    }
  }
  return out
}
