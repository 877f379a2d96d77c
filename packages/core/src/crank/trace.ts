import { SPEED_BINS, SPEED_FRAMES } from '../ear/constants.js'
import type { Heard } from '../ear/types.js'
import { clamp, logistic } from '../math/stats.js'
import { LEAST_LOG_CHANCE, LOGIT_STEPS, PHASE_STEPS, REACH_BINS, READING_BINS } from './constants.js'
import { bestPath, NO_ENGINE } from './path.js'
import type { Trace } from './types.js'

/** Largest value of 8 bits. Derived. */
const FULL = 127
const ROW = SPEED_BINS + 1

/**
 * Reads what the ear said along the best path.
 *
 * @param level of the sound in every fine frame, as `bandLevel` gives it
 */
export function traceSpeed(heard: Heard, level: Uint8Array): Trace {
  const path = bestPath(heard.speed)
  const readings = READING_BINS.length
  const bin = new Float32Array(path.length).fill(Number.NaN)
  const mass = new Float32Array(path.length * readings)
  for (let t = 0; t < path.length; t++) {
    const at = path[t]!
    if (at === NO_ENGINE) continue
    bin[t] = centreOf(heard.speed, t * ROW, at)
    for (let r = 0; r < readings; r++)
      mass[t * readings + r] = massAbout(heard.speed, t * ROW, Math.round(at + READING_BINS[r]!))
  }
  return {
    frames: heard.frames,
    bin,
    mass,
    engine: meanChance(heard.engine),
    coasting: meanChance(heard.coasting),
    cosine: rounded(heard.cosine, PHASE_STEPS),
    sine: rounded(heard.sine, PHASE_STEPS),
    fired: rounded(heard.fired, LOGIT_STEPS),
    level,
  }
}

/** Frames of speed from `first` to before `end`, all columns alike. */
export function sliceTrace(trace: Trace, first: number, end: number): Trace {
  const [from, to] = [SPEED_FRAMES * first, Math.min(trace.frames, SPEED_FRAMES * end)]
  const readings = READING_BINS.length
  return {
    frames: to - from,
    bin: trace.bin.slice(first, end),
    mass: trace.mass.slice(first * readings, end * readings),
    engine: trace.engine.slice(first, end),
    coasting: trace.coasting.slice(first, end),
    cosine: trace.cosine.slice(from, to),
    sine: trace.sine.slice(from, to),
    fired: trace.fired.slice(from, to),
    level: trace.level.slice(from, to),
  }
}

/** Log-odds as a trace keeps them. */
export function keptLogit(logit: number): number {
  return kept(logit, LOGIT_STEPS)
}

/** Values in `steps` to one, held within 8 bits. */
function rounded(values: Float32Array, steps: number): Int8Array {
  const out = new Int8Array(values.length)
  for (let i = 0; i < out.length; i++) out[i] = kept(values[i]!, steps)
  return out
}

function kept(value: number, steps: number): number {
  return clamp(Math.round(steps * value), -FULL, FULL)
}

/** Centre of the chances about a bin of a row of log-chances, between bins too. */
function centreOf(speed: Float32Array, row: number, bin: number): number {
  let sum = 0
  let moment = 0
  for (let b = Math.max(0, bin - REACH_BINS); b <= Math.min(SPEED_BINS - 1, bin + REACH_BINS); b++) {
    const chance = Math.exp(speed[row + b]!)
    sum += chance
    moment += chance * (b - bin)
  }
  return sum > 0 ? bin + moment / sum : bin
}

/** Sum of the chances about a bin of a row of log-chances. */
function massAbout(speed: Float32Array, row: number, bin: number): number {
  let sum = 0
  for (let b = Math.max(0, bin - REACH_BINS); b <= Math.min(SPEED_BINS - 1, bin + REACH_BINS); b++)
    if (speed[row + b]! > LEAST_LOG_CHANCE) sum += Math.exp(speed[row + b]!)
  return Math.min(1, sum)
}

/** Chances by frame of speed, from log-odds by fine frame. */
function meanChance(logits: Float32Array): Float32Array {
  const out = new Float32Array(Math.ceil(logits.length / SPEED_FRAMES))
  for (let t = 0; t < out.length; t++) {
    const end = Math.min(logits.length, SPEED_FRAMES * (t + 1))
    let sum = 0
    for (let i = SPEED_FRAMES * t; i < end; i++) sum += logits[i]!
    out[t] = logistic(sum / (end - SPEED_FRAMES * t))
  }
  return out
}
