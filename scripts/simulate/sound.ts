import type { Turn } from './crank.js'
import { addFiltered, biquad, highpass, lowpass } from './filters.js'
import { addBump, addFront, addRing } from './pulses.js'
import type { Random } from './random.js'
import type { Engine } from './types.js'

/** Amplitude left with the throttle closed: of the ports' sound, and of a burn (idle burns the charge of several turns). */
const CLOSED_LEVEL = 0.12
const CLOSED_BURN = 0.24
/** At idle the breathing is unsteady: level scatter and eddies this many times stronger. Chosen against real idle clips. */
const IDLE_UNSTEADY = 3
/** Depth of the crank's slowing in compression at 50 turns a second, share of a turn. */
const COMPRESSION = 0.02

/**
 * Sound of the engine at one metre, before any place or phone.
 *
 * Every turn sends a pump pulse through the exhaust, whether it burnt or not. A burn adds a steep front whose rise gets
 * shorter the stronger it is; without one the cylinder sucks gas back. Intake, jet noise and mechanical noise come on top.
 *
 * @returns length `sampleCount`, linear, no fixed level
 */
export function soundTurns(
  turns: readonly Turn[],
  engine: Engine,
  sampleCount: number,
  rateHz: number,
  random: Random,
): Float32Array {
  const exhaust = new Float32Array(sampleCount)
  const intake = new Float32Array(sampleCount)
  const block = new Float32Array(sampleCount)
  const jet = new Float32Array(sampleCount)
  const shape = random.fork('shape')
  const drift = new Float64Array(6)
  const memory = engine.shapeMemory
  const fresh = Math.sqrt(1 - memory * memory)
  for (const turn of turns) {
    for (let k = 0; k < drift.length; k++) drift[k] = memory * drift[k]! + fresh * shape.normal()
    soundExhaust(exhaust, jet, turn, engine, rateHz, shape, drift)
    soundIntake(intake, turn, engine, rateHz, shape)
    soundBlock(block, turn, engine, rateHz, shape)
  }
  const out = runPipe(exhaust, engine, rateHz)
  addJet(out, jet, engine, rateHz, random.fork('jet'))
  for (let i = 0; i < sampleCount; i++) out[i] = out[i]! + intake[i]! + block[i]!
  return out
}

function soundExhaust(
  buffer: Float32Array,
  jet: Float32Array,
  turn: Turn,
  engine: Engine,
  rateHz: number,
  shape: Random,
  drift: Float64Array,
): void {
  const { blowdown, pump } = engine
  const { durationS } = turn
  const level = levelOf(turn, engine, shape)
  const wobble = (k: number) => 1 + engine.shapeScatter * drift[k]!
  const fireS = momentOf(turn, blowdown.phase + blowdown.scatter * shape.normal() * (0.3 + turn.burn))
  const burnLevel = (level * openTo(CLOSED_BURN, turn.throttle)) / openTo(CLOSED_LEVEL, turn.throttle)
  const front = blowdown.gain * turn.strength * burnLevel
  const rise = (blowdown.riseS * Math.max(0.5, wobble(0))) / Math.max(0.25, turn.strength) ** 0.7
  const decay = Math.max(0.0002, blowdown.decayTurn * durationS * wobble(1))
  if (turn.burn > 0.02) {
    addFront(buffer, rateHz, fireS, front, rise, decay)
    addBump(buffer, rateHz, fireS + 1.5 * decay, -blowdown.tail * front * wobble(2), 0.3 * durationS)
    addFront(jet, rateHz, fireS, engine.flow.burnt * turn.strength * burnLevel, 2 * rise, 5 * decay)
  }
  const suck = blowdown.gain * blowdown.suck * (1 - turn.burn) * level
  if (suck > 0) {
    addBump(buffer, rateHz, fireS, -suck * wobble(2), 0.18 * durationS)
    addFront(buffer, rateHz, fireS + 0.2 * durationS, 0.6 * suck, 3 * blowdown.riseS, 0.08 * durationS)
  }
  const pumpS = momentOf(turn, pump.phase)
  addFront(
    buffer,
    rateHz,
    pumpS,
    pump.gain * level * wobble(3),
    pump.riseS * Math.max(0.5, wobble(4)),
    pump.widthTurn * durationS,
  )
  addBump(
    buffer,
    rateHz,
    pumpS + pump.secondPhase * durationS,
    pump.second * pump.gain * level * wobble(5),
    2 * pump.widthTurn * durationS,
  )
  addRing(buffer, rateHz, pumpS, pump.ring * pump.gain * level * wobble(4), pump.ringHz, 1.5 / pump.ringHz)
  for (const eddy of engine.eddies.rings) {
    const gain = engine.eddies.gain * unsteady(turn) * level * shape.normal()
    addRing(buffer, rateHz, momentOf(turn, eddy.phase + 0.01 * shape.normal()), gain, eddy.hz, 1.2 / eddy.hz)
  }
  addFront(jet, rateHz, pumpS, engine.flow.gain * level, 0.15 * durationS, 0.4 * durationS)
}

function soundIntake(buffer: Float32Array, turn: Turn, engine: Engine, rateHz: number, shape: Random): void {
  const { intake } = engine
  const startS = momentOf(turn, intake.phase) + intake.delayS
  const level = intake.gain * levelOf(turn, engine, shape)
  addBump(buffer, rateHz, startS, -level, intake.widthTurn * turn.durationS)
  addBump(
    buffer,
    rateHz,
    startS + 0.6 * intake.widthTurn * turn.durationS,
    0.7 * level,
    0.5 * intake.widthTurn * turn.durationS,
  )
}

function soundBlock(buffer: Float32Array, turn: Turn, engine: Engine, rateHz: number, shape: Random): void {
  for (const ping of engine.pings) {
    const gain = ping.gain * 10 ** (0.1 * shape.normal()) * (0.7 + 0.3 * turn.burn)
    addRing(
      buffer,
      rateHz,
      momentOf(turn, ping.phase + 0.004 * shape.normal()),
      gain,
      ping.hz,
      ping.q / (Math.PI * ping.hz),
    )
  }
  const { chain } = engine
  for (let k = 0; k < chain.perTurn; k++) {
    const gain = chain.gain * 10 ** (0.15 * shape.normal())
    addRing(buffer, rateHz, momentOf(turn, (k + 0.02 * shape.normal()) / chain.perTurn), gain, 3100, 0.0006)
  }
}

/** Pipe: direct sound and resonances, a leaky echo along its length, the muffler's low-pass, radiation at the mouth. */
function runPipe(source: Float32Array, engine: Engine, rateHz: number): Float32Array {
  const { pipe, muffler } = engine
  const out = new Float32Array(source.length)
  for (let i = 0; i < source.length; i++) out[i] = pipe.direct * source[i]!
  for (const r of pipe.resonances) addFiltered(out, source, biquad('band', rateHz, r.hz, r.q), r.gain)
  const delay = Math.max(1, Math.round(pipe.lengthS * rateHz))
  const loss = 1 - Math.exp((-2 * Math.PI * pipe.lossHz) / rateHz)
  let dull = 0
  for (let i = delay; i < out.length; i++) {
    dull += loss * (out[i - delay]! - dull)
    out[i] = out[i]! + pipe.reflection * dull
  }
  const crisp = out.slice()
  lowpass(lowpass(out, rateHz, muffler.cutHz), rateHz, muffler.cutHz)
  for (let i = 0; i < out.length; i++) out[i] = out[i]! + muffler.bypass * crisp[i]!
  return highpass(out, rateHz, muffler.radiateHz)
}

function addJet(out: Float32Array, jet: Float32Array, engine: Engine, rateHz: number, random: Random): void {
  const noise = new Float32Array(out.length)
  for (let i = 0; i < noise.length; i++) noise[i] = jet[i]! * (random() + random() + random() - 1.5) * 2
  highpass(noise, rateHz, engine.flow.lowHz)
  lowpass(noise, rateHz, engine.flow.highHz)
  for (let i = 0; i < out.length; i++) out[i] = out[i]! + noise[i]!
}

/** Level of the ports' sound: throttle, speed, scatter from turn to turn. */
function levelOf(turn: Turn, engine: Engine, shape: Random): number {
  return (
    openTo(CLOSED_LEVEL, turn.throttle) * 10 ** ((engine.scatterDb * unsteady(turn) * shape.normal()) / 20)
  )
}

const unsteady = (turn: Turn): number => (turn.state === 'idle' ? IDLE_UNSTEADY : 1)

const openTo = (closed: number, throttle: number): number => closed + (1 - closed) * throttle

/** When a phase of the turn comes: the crank hesitates in compression, more so when slow. */
export function momentOf(turn: Turn, phase: number): number {
  const hesitation = COMPRESSION * Math.min(1, (50 * turn.durationS) ** 2)
  return turn.startS + turn.durationS * (phase - (hesitation * Math.sin(2 * Math.PI * phase)) / (2 * Math.PI))
}
