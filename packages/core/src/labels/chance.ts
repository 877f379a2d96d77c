import { LOGIT_STEPS } from '../crank/constants.js'
import type { Trace, Turns } from '../crank/types.js'
import { FRAME_RATE_HZ, SPEED_FRAMES } from '../ear/constants.js'
import { LEVEL_POWER } from './level.js'

/** What the ear says of every turn; columns of equal length. */
export interface TurnEvidence {
  /** Log-odds that it fired, as the ear gives them. */
  readonly firedLogit: Float64Array
  /** Chance of a closed throttle, 0–1. */
  readonly coasting: Float32Array
  /** Root mean square of the band, linear. */
  readonly level: Float32Array
}

/** Means over every turn: of the log-odds, of the chance of a closed throttle, of the power. */
export function turnEvidence(trace: Trace, { startS, durationS }: Turns): TurnEvidence {
  const turns = startS.length
  const firedLogit = new Float64Array(turns)
  const coasting = new Float32Array(turns)
  const level = new Float32Array(turns)
  for (let n = 0; n < turns; n++) {
    const first = Math.min(trace.frames - 1, Math.round(startS[n]! * FRAME_RATE_HZ))
    const end = Math.min(
      trace.frames,
      Math.max(first + 1, Math.round((startS[n]! + durationS[n]!) * FRAME_RATE_HZ)),
    )
    let logits = 0
    let chance = 0
    let power = 0
    for (let i = first; i < end; i++) {
      logits += trace.fired[i]!
      chance += trace.coasting[Math.floor(i / SPEED_FRAMES)]!
      power += LEVEL_POWER[trace.level[i]!]!
    }
    firedLogit[n] = logits / LOGIT_STEPS / (end - first)
    coasting[n] = chance / (end - first)
    level[n] = Math.sqrt(power / (end - first))
  }
  return { firedLogit, coasting, level }
}
