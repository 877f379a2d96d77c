import { bandLimit, biquad, filter, highpass, lowpass, rootMeanSquare } from './filters.js'
import { addFront, addRing } from './pulses.js'
import type { Random } from './random.js'
import type { Noise, NoiseKind } from './types.js'
import { babble, music } from './voices.js'

type Maker = (out: Float32Array, rateHz: number, random: Random) => void

const MAKERS: Record<NoiseKind, Maker> = {
  hiss,
  wind,
  rain,
  tarpaulin,
  car,
  hum,
  speech: babble,
  music,
  rattle,
  clock,
}

/**
 * Adds the foreign sounds.
 *
 * @param referenceRms level that `belowDb` counts from, linear
 */
export function addSurroundings(
  sound: Float32Array,
  rateHz: number,
  noises: readonly Noise[],
  referenceRms: number,
  random: Random,
): void {
  noises.forEach((noise, index) => {
    const own = new Float32Array(sound.length)
    MAKERS[noise.kind](own, rateHz, random.fork(`${noise.kind}${index}`))
    const rms = rootMeanSquare(own)
    if (rms === 0) return
    const gain = (referenceRms * 10 ** (-noise.belowDb / 20)) / rms
    for (let i = 0; i < sound.length; i++) sound[i] = sound[i]! + gain * own[i]!
  })
}

function whiten(out: Float32Array, random: Random): Float32Array {
  for (let i = 0; i < out.length; i++) out[i] = random() + random() - 1
  return out
}

/** Steady noise of surroundings and preamplifier: brown below a corner, flat above. */
function hiss(out: Float32Array, rateHz: number, random: Random): void {
  whiten(out, random)
  const low = lowpass(out.slice(), rateHz, random.octaves(80, 400))
  const tilt = random.range(2, 12)
  for (let i = 0; i < out.length; i++) out[i] = out[i]! * 0.3 + tilt * low[i]!
}

/** Gusts: low noise with a slow random envelope and hard buffets. */
function wind(out: Float32Array, rateHz: number, random: Random): void {
  whiten(out, random)
  lowpass(lowpass(out, rateHz, random.range(60, 160)), rateHz, random.range(200, 500))
  const gust = slowNoise(out.length, rateHz, random.range(0.4, 1.2), random)
  const flutter = slowNoise(out.length, rateHz, random.range(5, 12), random)
  for (let i = 0; i < out.length; i++) out[i] = out[i]! * Math.exp(1.1 * gust[i]! + 0.5 * flutter[i]!)
}

function rain(out: Float32Array, rateHz: number, random: Random): void {
  whiten(out, random)
  bandLimit(out, rateHz, 500, 7000)
  const swell = slowNoise(out.length, rateHz, 0.5, random)
  for (let i = 0; i < out.length; i++) out[i] = 0.3 * out[i]! * Math.exp(0.2 * swell[i]!)
  dropInto(out, rateHz, random, random.range(60, 200), 1200, 7000, 0.0008)
}

/** Drops on a stretched sheet: dull patter that rings low. */
function tarpaulin(out: Float32Array, rateHz: number, random: Random): void {
  rain(out, rateHz, random)
  for (let i = 0; i < out.length; i++) out[i] = 0.25 * out[i]!
  dropInto(out, rateHz, random, random.range(60, 130), 140, 900, 0.006)
}

function dropInto(
  out: Float32Array,
  rateHz: number,
  random: Random,
  perS: number,
  lowHz: number,
  highHz: number,
  ringS: number,
): void {
  let timeS = 0
  while (timeS < out.length / rateHz) {
    timeS += -Math.log(1 - random()) / perS
    const gain = 0.5 * Math.exp(0.7 * random.normal())
    addRing(out, rateHz, timeS, gain, random.octaves(lowHz, highHz), ringS * random.range(0.6, 1.6))
  }
}

/** A car passes: tyre noise that swells, and its own engine with four uneven pulses in two turns. */
function car(out: Float32Array, rateHz: number, random: Random): void {
  whiten(out, random)
  bandLimit(out, rateHz, 60, random.range(900, 2500))
  const atS = (out.length / rateHz) * random.range(0.25, 0.75)
  const widthS = random.range(0.8, 2)
  const turnHz = random.range(28, 60)
  const uneven = [random.range(0.7, 1), random.range(0.7, 1), random.range(0.7, 1), random.range(0.7, 1)]
  const engine = new Float32Array(out.length)
  let timeS = 0
  for (let k = 0; timeS < out.length / rateHz; k++) {
    const shift = 1 + 0.03 * Math.tanh((atS - timeS) / widthS)
    addFront(engine, rateHz, timeS, uneven[k % 4]!, 0.001, 0.003)
    timeS += (1 + 0.01 * random.normal()) / (2 * turnHz * shift)
  }
  lowpass(highpass(engine, rateHz, 60), rateHz, 500)
  const share = random.range(0.3, 1.2)
  for (let i = 0; i < out.length; i++) {
    const swell = 1 / (1 + ((i / rateHz - atS) / widthS) ** 2)
    out[i] = (out[i]! + share * engine[i]!) * swell
  }
}

/** Mains, fans, pumps: constant lines that cross half orders. */
function hum(out: Float32Array, rateHz: number, random: Random): void {
  const pool = [39.5, 48, 50, 60, 62, 79, 80, 100, 120, 360]
  for (let k = random.whole(1, 4); k > 0; k--) {
    const base = random.pick(pool)
    for (let h = 1; h <= 4; h++) {
      const gain = random.range(0, 1) / h
      const phase = random.range(0, 2 * Math.PI)
      const step = (2 * Math.PI * base * h) / rateHz
      for (let i = 0; i < out.length; i++) out[i] = out[i]! + gain * Math.sin(step * i + phase)
    }
  }
}

/** Cloth and keys against the phone in a pocket: bursts of scratching at the pace of steps or bumps. */
function rattle(out: Float32Array, rateHz: number, random: Random): void {
  let timeS = random.range(0, 0.5)
  const paceHz = random.range(1.5, 6)
  while (timeS < out.length / rateHz) {
    for (let k = random.whole(1, 8); k > 0; k--) {
      const gain = Math.exp(0.8 * random.normal())
      addRing(
        out,
        rateHz,
        timeS + random.range(0, 0.08),
        gain,
        random.octaves(150, 4000),
        random.range(0.001, 0.008),
      )
    }
    timeS += random.range(0.5, 1.5) / paceHz
  }
}

/** A ticking clock: something periodic that is no engine. */
function clock(out: Float32Array, rateHz: number, random: Random): void {
  const perS = random.pick([2, 4, 5, 8, 12])
  const hz = random.range(1500, 4500)
  for (let k = 0; k < (out.length / rateHz) * perS; k++) {
    addRing(out, rateHz, k / perS, k % 2 === 0 ? 1 : 0.8, hz, 0.003)
    addRing(out, rateHz, k / perS + 0.008, 0.4, hz * 0.6, 0.004)
  }
}

/** Smooth Gaussian-like curve with unit spread, values drawn `perS` times a second. */
function slowNoise(length: number, rateHz: number, perS: number, random: Random): Float32Array {
  const out = new Float32Array(length)
  const step = rateHz / perS
  let from = random.normal()
  let to = random.normal()
  for (let i = 0, next = step, begin = 0; i < length; i++) {
    if (i >= next) {
      begin = next
      next += step
      from = to
      to = random.normal()
    }
    const x = (i - begin) / step
    out[i] = from + (to - from) * x * x * (3 - 2 * x)
  }
  return out
}

/** Second-order band for the voices. */
export const throughBand = (x: Float32Array, rateHz: number, hz: number, q: number): Float32Array =>
  filter(x, biquad('band', rateHz, hz, q))
