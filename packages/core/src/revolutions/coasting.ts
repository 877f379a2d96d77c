import type { Segment } from '../segments/types.js'
import { CANNOT_TELL, type Revolutions, UNSURE } from './types.js'

/** Whether a turn fires cannot be heard with the throttle closed: turns of coasting segments become unsure. */
export function withoutCoasting(revolutions: Revolutions, segments: readonly Segment[]): Revolutions {
  const label = revolutions.label.slice()
  const firedProbability = revolutions.firedProbability.slice()
  const firedLow = revolutions.firedLow.slice()
  const firedHigh = revolutions.firedHigh.slice()
  const pattern = revolutions.pattern.slice()
  for (const segment of segments) {
    if (segment.kind !== 'coasting') continue
    label.fill(UNSURE, segment.firstTurn, segment.endTurn)
    firedProbability.fill(0.5, segment.firstTurn, segment.endTurn)
    firedLow.fill(0, segment.firstTurn, segment.endTurn)
    firedHigh.fill(1, segment.firstTurn, segment.endTurn)
    pattern.fill(CANNOT_TELL, segment.firstTurn, segment.endTurn)
  }
  return { ...revolutions, label, firedProbability, firedLow, firedHigh, pattern }
}
