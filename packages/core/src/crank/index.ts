import { SPEED_BINS } from '../ear/constants.js'
import { clamp, mean } from '../math/stats.js'
import {
  ENGINE_FROM,
  ENGINE_STILL_FROM,
  LEAST_RUNNING_S,
  SPEED_AGREES,
  SPEED_RATE_HZ,
  SPEED_TURNS,
} from './constants.js'
import { binHz } from './path.js'
import { turnStarts } from './phase.js'
import { findRuns, type Run } from './runs.js'
import { type ChosenMultiple, chancesOf, chooseMultiple } from './twin.js'
import type { Crank, SpeedTrack, Stretch, Trace, Turns } from './types.js'

export { makeTraceJoiner } from './joinTraces.js'
export { sliceTrace, traceSpeed } from './trace.js'
export type * from './types.js'

/** A run with its multiple chosen and its turns cut. */
interface Cut {
  readonly run: Run
  readonly chosen: ChosenMultiple
  /** Turns a second in each frame of the run. */
  readonly speedHz: Float64Array
  /** Times of m + 1 starts. */
  readonly startS: Float64Array
}

/**
 * Reads every turn of the crank.
 *
 * @param expectHz lowest and highest speed expected, turns a second
 * @returns no turns where no engine is heard
 */
export function readCrank(trace: Trace, expectHz?: readonly [number, number]): Crank {
  const heard = findRuns(trace)
    .map((run) => cutRun(trace, run, expectHz))
    .filter(({ startS }) => startS.length > 1)
  const engines = heard.map(({ run }) => mean(trace.engine.subarray(run.first, run.end)))
  const from = engines.some((chance) => chance >= ENGINE_FROM) ? ENGINE_STILL_FROM : ENGINE_FROM
  const running = heard.filter((_, k) => engines[k]! >= from)
  const cuts = lengthS(running) >= LEAST_RUNNING_S ? running : []
  return {
    turns: joinTurns(cuts),
    speed: speedTrack(trace, cuts),
    engine: heard.length > 0 ? Math.max(...engines) * Math.min(1, lengthS(heard) / LEAST_RUNNING_S) : null,
  }
}

function lengthS(cuts: readonly Cut[]): number {
  return cuts.reduce((sum, { startS }) => sum + startS.at(-1)! - startS[0]!, 0)
}

function cutRun(trace: Trace, run: Run, expectHz: readonly [number, number] | undefined): Cut {
  const chosen = chooseMultiple(trace, run, expectHz)
  const bins = new Float64Array(run.end - run.first)
  for (let k = 0; k < bins.length; k++)
    bins[k] = clamp(trace.bin[run.first + k]! - run.above[k]! + chosen.above, 0, SPEED_BINS - 1)
  const speedHz = smoothed(bins).map(binHz)
  return { run, chosen, speedHz, startS: turnStarts(trace, run.first, speedHz) }
}

/** Weights of the frames near by: the ear tells speeds in steps of 1.5 %. Chosen: a Hann window over 64 ms. */
const SMOOTHING = [0.146, 0.5, 0.854, 1, 0.854, 0.5, 0.146]

function smoothed(bins: Float64Array): Float64Array {
  const reach = SMOOTHING.length >> 1
  const out = new Float64Array(bins.length)
  for (let k = 0; k < bins.length; k++) {
    let sum = 0
    let weight = 0
    for (let j = Math.max(0, reach - k); j < SMOOTHING.length && k + j - reach < bins.length; j++) {
      sum += SMOOTHING[j]! * bins[k + j - reach]!
      weight += SMOOTHING[j]!
    }
    out[k] = sum / weight
  }
  return out
}

function joinTurns(cuts: readonly Cut[]): Turns {
  const count = cuts.reduce((sum, { startS }) => sum + startS.length - 1, 0)
  const turns = {
    startS: new Float64Array(count),
    durationS: new Float64Array(count),
    speedRpm: new Float64Array(count),
    stretch: new Int32Array(count),
  }
  let at = 0
  cuts.forEach((cut, stretch) => {
    const { startS } = cut
    for (let n = 0; n + 1 < startS.length; n++, at++) {
      turns.startS[at] = startS[n]!
      turns.durationS[at] = startS[n + 1]! - startS[n]!
      turns.speedRpm[at] = turnSpeedRpm(cut, n)
      turns.stretch[at] = stretch
    }
  })
  return turns
}

/** Speed of a turn: the mean of the turns about it, unless the ear's own reading of the speed speaks against it. */
function turnSpeedRpm({ startS, run, speedHz }: Cut, n: number): number {
  const first = Math.max(0, n - SPEED_TURNS)
  const end = Math.min(startS.length - 1, n + SPEED_TURNS + 1)
  const hz = (end - first) / (startS[end]! - startS[first]!)
  const middleS = (startS[n]! + startS[n + 1]!) / 2
  const frame = clamp(Math.floor(middleS * SPEED_RATE_HZ) - run.first, 0, speedHz.length - 1)
  const read = speedHz[frame]!
  return 60 * (Math.abs(hz / read - 1) < SPEED_AGREES ? hz : read)
}

function speedTrack(trace: Trace, cuts: readonly Cut[]): SpeedTrack {
  const frames = trace.bin.length
  const speedRpm = new Float64Array(frames).fill(Number.NaN)
  const speedProbability = new Float32Array(frames)
  for (const { run, chosen, speedHz } of cuts) {
    speedRpm.set(
      speedHz.map((hz) => 60 * hz),
      run.first,
    )
    speedProbability.set(chancesOf(trace, run, chosen.above), run.first)
  }
  return {
    timeS: new Float64Array(frames).map((_, k) => (k + 0.5) / SPEED_RATE_HZ),
    speedRpm,
    speedProbability,
    stretches: cuts.map(stretchOf),
  }
}

function stretchOf({ startS, chosen }: Cut): Stretch {
  const { ambiguous, alternativeFactor, readingProbability } = chosen
  return { startS: startS[0]!, endS: startS.at(-1)!, ambiguous, alternativeFactor, readingProbability }
}
