import { FRAME_RATE_HZ, SPEED_FRAMES } from '../ear/constants.js'
import { FINE_PHASE_TURNS, LEAST_PHASE, PHASE_STEPS, PHASE_TURNS } from './constants.js'
import type { Trace } from './types.js'

/** Complex numbers, one a turn. */
interface Phasors {
  readonly real: Float32Array
  readonly imaginary: Float32Array
}

/**
 * Where the turns of a run begin: at phase 0 of the crank, where the exhaust pulse arrives.
 *
 * The crank is first turned by its speed alone. What the ear says of the phase is held against that, turn by turn, and averaged
 * over neighbouring turns, twice: over six, and what is left over two. Where the ear says little of the phase, or the phase
 * of another multiple, the speed carries the turns on.
 *
 * @param first first frame of speed
 * @param speedHz turns a second in each frame from there on
 * @returns times of m + 1 starts for m turns, seconds, strictly increasing; none where not one turn begins
 * @remarks O(fine frames)
 */
export function turnStarts(trace: Trace, first: number, speedHz: Float64Array): Float64Array {
  const from = first * SPEED_FRAMES
  const frames = Math.min(trace.frames - from, speedHz.length * SPEED_FRAMES)
  const ahead = smoothAhead(phasorsOf(trace, from, frames, speedHz))
  return crossings(frames, speedHz, ahead).map((frame) => (from + frame) / FRAME_RATE_HZ)
}

/** Turns made by the speed alone in each fine frame of frame `k` of speed: on straight lines between the middles of these. */
function turnsIn(speedHz: Float64Array, k: number, out: Float64Array): void {
  const own = speedHz[k]!
  const before = speedHz[Math.max(0, k - 1)]!
  const after = speedHz[Math.min(speedHz.length - 1, k + 1)]!
  for (let j = 0; j < SPEED_FRAMES; j++) {
    const share = (j + 0.5) / SPEED_FRAMES - 0.5
    out[j] = (own + Math.abs(share) * ((share < 0 ? before : after) - own)) / FRAME_RATE_HZ
  }
}

/** Mean phase of every turn against the one by speed; the shorter, the less the ear says of it. */
function phasorsOf({ cosine, sine }: Trace, from: number, frames: number, speedHz: Float64Array): Phasors {
  const most = Math.ceil((speedHz.reduce((sum, hz) => sum + hz, 0) * SPEED_FRAMES) / FRAME_RATE_HZ) + 2
  const real = new Float32Array(most)
  const imaginary = new Float32Array(most)
  const steps = new Float64Array(SPEED_FRAMES)
  let turned = 0
  let counted = 0
  let turn = 0
  const close = (): void => {
    real[turn]! /= counted || 1
    imaginary[turn]! /= counted || 1
  }
  for (let i = 0; i < frames; i++) {
    if (i % SPEED_FRAMES === 0) turnsIn(speedHz, i / SPEED_FRAMES, steps)
    const step = steps[i % SPEED_FRAMES]!
    const middle = turned + step / 2
    turned += step
    if (middle >= turn + 1) {
      close()
      turn++
      counted = 0
    }
    const angle = 2 * Math.PI * (middle - turn)
    const c = Math.cos(angle)
    const s = Math.sin(angle)
    const x = cosine[from + i]! / PHASE_STEPS
    const y = sine[from + i]! / PHASE_STEPS
    real[turn]! += x * c + y * s
    imaginary[turn]! += y * c - x * s
    counted++
  }
  close()
  return { real: real.subarray(0, turn + 1), imaginary: imaginary.subarray(0, turn + 1) }
}

/** By how much of a turn the crank is ahead of its speed, in the middle of every turn. */
function smoothAhead(phasors: Phasors): Float64Array {
  const coarse = bridged(averaged(phasors, PHASE_TURNS))
  const rest = averaged(turnedBack(phasors, coarse), FINE_PHASE_TURNS)
  return coarse.map((ahead, turn) => ahead + angleOf(rest, turn))
}

/** Mean over the turns near by with the weights of a Hann window. */
function averaged({ real, imaginary }: Phasors, reach: number): Phasors {
  const weights = Float64Array.from(
    { length: 2 * reach + 1 },
    (_, j) => Math.sin((Math.PI * (j + 1)) / (2 * reach + 2)) ** 2,
  )
  const mean = (values: Float32Array): Float32Array => {
    const out = new Float32Array(values.length)
    for (let turn = 0; turn < out.length; turn++) {
      let sum = 0
      let weight = 0
      for (let j = Math.max(0, reach - turn); j <= 2 * reach && turn + j - reach < out.length; j++) {
        sum += weights[j]! * values[turn + j - reach]!
        weight += weights[j]!
      }
      out[turn] = sum / weight
    }
    return out
  }
  return { real: mean(real), imaginary: mean(imaginary) }
}

/** Angle as a share of a turn, −0.5 to 0.5; 0 where nothing is told. */
function angleOf({ real, imaginary }: Phasors, turn: number): number {
  const told = Math.hypot(real[turn]!, imaginary[turn]!) >= LEAST_PHASE
  return told ? Math.atan2(imaginary[turn]!, real[turn]!) / (2 * Math.PI) : 0
}

/** Angles without leaps from −0.5 to 0.5, on a straight line where nothing is told. */
function bridged(phasors: Phasors): Float64Array {
  const { real, imaginary } = phasors
  const out = new Float64Array(real.length)
  let told = -1
  for (let turn = 0; turn < out.length; turn++) {
    if (Math.hypot(real[turn]!, imaginary[turn]!) < LEAST_PHASE) continue
    const angle = angleOf(phasors, turn)
    const before = told < 0 ? angle : out[told]!
    out[turn] = angle + Math.round(before - angle)
    for (let k = told + 1; k < turn; k++)
      out[k] = told < 0 ? out[turn]! : before + ((k - told) / (turn - told)) * (out[turn]! - before)
    told = turn
  }
  return told < 0 ? out : out.fill(out[told]!, told)
}

function turnedBack({ real, imaginary }: Phasors, by: Float64Array): Phasors {
  const back = { real: real.slice(), imaginary: imaginary.slice() }
  for (let n = 0; n < by.length; n++) {
    const c = Math.cos(2 * Math.PI * by[n]!)
    const s = Math.sin(2 * Math.PI * by[n]!)
    back.real[n] = real[n]! * c + imaginary[n]! * s
    back.imaginary[n] = imaginary[n]! * c - real[n]! * s
  }
  return back
}

/** Least that the crank turns while its speed says one turn. Chosen: turns follow one another whatever the ear says. */
const LEAST_TURN = 0.5

/** Places, in fine frames, where the crank has made whole turns: straight between the middles of turns, at its speed outside. */
function crossings(frames: number, speedHz: Float64Array, ahead: Float64Array): Float64Array {
  const out = new Float64Array(2 * ahead.length + 2)
  let count = 0
  let [from, at] = [0, ahead[0]!]
  let wanted = Math.ceil(at)
  let turn = 0
  let to = 0.5
  let reached = Math.max(to + ahead[0]!, at + LEAST_TURN * to)
  let turned = 0
  const steps = new Float64Array(SPEED_FRAMES)
  for (let frame = 0; frame < frames; frame++) {
    if (frame % SPEED_FRAMES === 0) turnsIn(speedHz, frame / SPEED_FRAMES, steps)
    const step = steps[frame % SPEED_FRAMES]!
    const end = turned + step
    while (true) {
      // Places of the crank that lie in this frame and before the next middle of a turn.
      const place = from + ((wanted - at) / (reached - at)) * (to - from)
      if (wanted <= reached && place < end) {
        out[count++] = frame + (place - turned) / step
        wanted++
      } else if (wanted > reached && to < end) {
        turn++
        const known = Math.min(turn, ahead.length - 1)
        ;[from, at, to] = [to, reached, to + 1]
        reached = Math.max(to + ahead[known]!, at + LEAST_TURN)
      } else break
    }
    turned = end
  }
  return out.subarray(0, count)
}
