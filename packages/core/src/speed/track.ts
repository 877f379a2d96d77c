import { logistic } from '../math/stats.js'
import type { RunTurns } from '../turns/index.js'
import { HOP_S } from './constants.js'
import type { SpeedRun } from './index.js'
import { BY_TURNS } from './octave.js'
import type { SpeedTrack, Stretch } from './types.js'

/** Log-odds by which the reading must lead for the multiple to be settled. Fitted by hand. */
const SETTLED_LOGIT = 2.5
/** Lead in salience a frame that speaks by one unit of log-odds, for multiples that turns are not asked about. */
const LEAD_PER_LOGIT = 0.05

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

function stretchOf({ timeS, candidates, rival }: SpeedRun): Stretch {
  const own = candidates[0]?.evidence ?? 0
  let logOdds = rival?.logOdds ?? -Infinity
  let factor = rival?.factor ?? null
  for (const other of candidates.slice(1)) {
    if (BY_TURNS.some((f) => Math.abs(other.factor / f - 1) < 0.01)) continue
    const odds = (other.evidence - own) / LEAD_PER_LOGIT
    if (odds > logOdds) {
      logOdds = odds
      factor = other.factor
    }
  }
  const ambiguous = logOdds > -SETTLED_LOGIT
  return {
    startS: timeS[0]!,
    endS: timeS.at(-1)!,
    ambiguous,
    alternativeFactor: ambiguous ? factor : null,
    confidence: logistic(-Math.min(0, logOdds)),
  }
}
