import type { RunTurns } from '../turns/index.js'
import { HOP_S } from './constants.js'
import type { SpeedRun } from './index.js'
import type { SpeedTrack, Stretch } from './types.js'

/** Salience a frame by which the best reading must lead for the octave to be settled. Fitted by hand. */
const SETTLED_LEAD = 0.08
/** Lead that speaks for the reading by one unit of log-odds. */
const LEAD_PER_LOGIT = 0.04

/** Speed on an even grid of times, from the turns where they were cut. */
export function speedTrack(runs: readonly RunTurns[], durationS: number): SpeedTrack {
  const frames = Math.floor(durationS / HOP_S) + 1
  const timeS = Float64Array.from({ length: frames }, (_, k) => k * HOP_S)
  const speedRpm = new Float64Array(frames).fill(Number.NaN)
  const salience = new Float32Array(frames)
  for (const { run } of runs) {
    const first = Math.round(run.timeS[0]! / HOP_S)
    for (let k = 0; k < run.timeS.length && first + k < frames; k++) {
      speedRpm[first + k] = run.speedHz[k]! * 60
      salience[first + k] = run.salience[k]!
    }
  }
  return { timeS, speedRpm, salience, stretches: runs.map(({ run }) => stretchOf(run)) }
}

function stretchOf(run: SpeedRun): Stretch {
  const [best, second] = run.candidates
  const lead = best && second ? best.evidence - second.evidence : 1
  return {
    startS: run.timeS[0]!,
    endS: run.timeS.at(-1)!,
    ambiguous: lead < SETTLED_LEAD,
    alternativeFactor: lead < SETTLED_LEAD ? (second?.factor ?? null) : null,
    confidence: 1 / (1 + Math.exp(-lead / LEAD_PER_LOGIT)),
  }
}
