import { filterBiquad } from '../sound/filters.js'
import type { Random } from '../sound/random.js'

interface Call {
  readonly lengthS: readonly [number, number]
  readonly gapS: readonly [number, number]
  /** Pitch at start, middle and end, Hz. */
  readonly pitchHz: readonly [number, number, number]
  readonly rough: number
  readonly throatHz: readonly number[]
  /** Height swings at this rate, Hz; 0 for none. */
  readonly flutterHz: number
}

const CALLS: Record<string, Call> = {
  dog: {
    lengthS: [0.12, 0.3],
    gapS: [0.15, 0.9],
    pitchHz: [250, 480, 220],
    rough: 0.5,
    throatHz: [700, 1400, 2600],
    flutterHz: 0,
  },
  growl: {
    lengthS: [0.8, 2.5],
    gapS: [0.2, 0.6],
    pitchHz: [75, 95, 80],
    rough: 0.35,
    throatHz: [350, 900, 1900],
    flutterHz: 26,
  },
  cockerel: {
    lengthS: [0.5, 1.4],
    gapS: [0.2, 1.5],
    pitchHz: [500, 900, 600],
    rough: 0.15,
    throatHz: [1200, 2400, 3600],
    flutterHz: 0,
  },
  child: {
    lengthS: [0.6, 1.4],
    gapS: [0.25, 0.6],
    pitchHz: [380, 560, 350],
    rough: 0.2,
    throatHz: [1000, 1800, 3300],
    flutterHz: 7,
  },
  cat: {
    lengthS: [0.4, 1.1],
    gapS: [0.4, 1.5],
    pitchHz: [500, 720, 450],
    rough: 0.08,
    throatHz: [900, 2000, 4000],
    flutterHz: 0,
  },
  purr: {
    lengthS: [1.2, 2],
    gapS: [0.05, 0.15],
    pitchHz: [24, 27, 25],
    rough: 0.6,
    throatHz: [150, 400, 1200],
    flutterHz: 0,
  },
  frog: {
    lengthS: [0.25, 0.7],
    gapS: [0.1, 0.6],
    pitchHz: [55, 70, 60],
    rough: 0.2,
    throatHz: [600, 1300, 2500],
    flutterHz: 0,
  },
}

/** Dog, cockerel, crying child, cat, frog: calls of a rough source with a moving pitch through a throat. */
export function makeAnimals(random: Random, durationS: number, rateHz: number): Float32Array {
  const n = Math.round(durationS * rateHz)
  const out = new Float32Array(n)
  const call = CALLS[random.pick(Object.keys(CALLS))]!
  const size = random.between(0.8, 1.25)
  let at = Math.round(random.between(0.05, 0.6) * rateHz)
  while (at < n) {
    const length = Math.round(random.between(...call.lengthS) * rateHz)
    const one = cry(call, size * random.between(0.92, 1.08), length, rateHz, random)
    const loud = random.between(0.6, 1)
    for (let i = 0; i < length && at + i < n; i++) out[at + i]! += loud * one[i]!
    at += length + Math.round(random.between(...call.gapS) * rateHz)
  }
  for (let i = 0; i < n; i++) out[i]! += 0.003 * random.gauss()
  return out
}

function cry(call: Call, size: number, length: number, rateHz: number, random: Random): Float32Array {
  const source = new Float32Array(length)
  const [start, middle, end] = call.pitchHz
  let phase = 0
  let noise = 0
  let height = 1
  for (let i = 0; i < length; i++) {
    const share = i / length
    const pitch =
      share < 0.4 ? start + ((middle - start) * share) / 0.4 : middle + ((end - middle) * (share - 0.4)) / 0.6
    phase += (pitch * size * (1 + 0.05 * call.rough * random.gauss())) / rateHz
    if (phase >= 1) {
      phase -= 1
      height = 1 + 0.6 * call.rough * random.gauss()
    }
    noise += 0.4 * (random.gauss() - noise)
    const flutter = call.flutterHz > 0 ? 1 + 0.4 * Math.sin((2 * Math.PI * call.flutterHz * i) / rateHz) : 1
    const edge = Math.min(1, share * 10, (1 - share) * 5)
    source[i] = edge * flutter * (height * (Math.exp(-phase * 9) - 0.11) + 0.4 * call.rough * noise)
  }
  const out = new Float32Array(length)
  for (const [k, frequency] of call.throatHz.entries()) {
    const part = filterBiquad(source.slice(), rateHz, 'bandpass', frequency * size, 3 + 2 * k)
    for (let i = 0; i < length; i++) out[i]! += part[i]! / (1 + 0.5 * k)
  }
  return out
}
