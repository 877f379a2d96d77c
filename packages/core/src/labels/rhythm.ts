import { keptLogit } from '../crank/trace.js'
import type { Trace, Turns } from '../crank/types.js'
import { FRAME_RATE_HZ } from '../ear/constants.js'
import type { TurnListener } from '../ear/turnFeatures.js'
import type { Ear } from '../ear/types.js'

/**
 * Judges every turn by its neighbours.
 *
 * @param turns    of the trace, in seconds from its beginning
 * @param listener to turns of the same sound
 * @returns the trace with log-odds that are constant over each turn; outside of turns as they were
 */
export function withRhythm(ear: Ear, trace: Trace, turns: Turns, listener: TurnListener): Trace {
  const fired = trace.fired.slice()
  const frame = (timeS: number): number => Math.round(timeS * FRAME_RATE_HZ)
  for (let first = 0, end = 0; first < turns.startS.length; first = end) {
    while (end < turns.startS.length && turns.stretch[end] === turns.stretch[first]) end++
    const run = { startS: turns.startS.subarray(first, end), durationS: turns.durationS.subarray(first, end) }
    ear.judgeTurns(listener.of(run)).forEach((logit, n) => {
      const startS = run.startS[n]!
      fired.fill(keptLogit(logit), frame(startS), frame(startS + run.durationS[n]!))
    })
  }
  return { ...trace, fired }
}
