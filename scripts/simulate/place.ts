import { lowpass } from './filters.js'
import type { Random } from './random.js'
import type { Place } from './types.js'

const SOUND_MS = 343

/** Where the microphone stands against the engine: gives the arrival time of each moment. */
export interface Travel {
  /** When a sound made at `timeS` is heard, seconds. */
  heardS(timeS: number): number
}

export function travelOf(place: Place): Travel {
  const { passBy } = place
  if (!passBy) return { heardS: (timeS) => timeS }
  const nearestS = passBy.nearestM / SOUND_MS
  return { heardS: (timeS) => timeS + distanceM(passBy, timeS) / SOUND_MS - nearestS }
}

/** Carries the sound through the place, in the order distance, pass-by, echo. */
export function carrySound(source: Float32Array, rateHz: number, place: Place, random: Random): Float32Array {
  let sound = source
  if (place.lowpassHz !== null) lowpass(lowpass(sound, rateHz, place.lowpassHz), rateHz, place.lowpassHz)
  if (place.passBy) sound = passBy(sound, rateHz, place.passBy, travelOf(place))
  if (place.echo) addEcho(sound, rateHz, place.echo, random)
  return sound
}

function distanceM(passBy: NonNullable<Place['passBy']>, timeS: number): number {
  return Math.hypot(passBy.nearestM, passBy.speedMs * (timeS - passBy.atS))
}

/** Moves the source along a straight line: delay that changes, 1/r, air and ground dulling it with distance. */
function passBy(
  source: Float32Array,
  rateHz: number,
  path: NonNullable<Place['passBy']>,
  travel: Travel,
): Float32Array {
  const out = new Float32Array(source.length)
  let dull = 0
  let sentS = 0
  for (let i = 0; i < out.length; i++) {
    const heardS = i / rateHz
    for (let k = 0; k < 2; k++) sentS += heardS - travel.heardS(sentS)
    const at = sentS * rateHz
    const j = Math.floor(at)
    if (j < 1 || j + 2 >= source.length) continue
    const distance = distanceM(path, sentS)
    const value = hermite(source[j - 1]!, source[j]!, source[j + 1]!, source[j + 2]!, at - j)
    const cutHz = Math.min(12000, 60000 / distance)
    dull += (1 - Math.exp((-2 * Math.PI * cutHz) / rateHz)) * (value - dull)
    out[i] = (dull * path.nearestM) / distance
  }
  return out
}

/** Catmull-Rom interpolation between b and c. */
function hermite(a: number, b: number, c: number, d: number, x: number): number {
  return b + 0.5 * x * (c - a + x * (2 * a - 5 * b + 4 * c - d + x * (3 * (b - c) + d - a)))
}

/** Early reflections and an exponential tail (four crossed delay lines, the tail losing its treble). */
function addEcho(
  sound: Float32Array,
  rateHz: number,
  echo: NonNullable<Place['echo']>,
  random: Random,
): void {
  const dry = sound.slice()
  const level = 10 ** (echo.levelDb / 20)
  for (let k = 0; k < 8; k++) {
    const delay = Math.round(echo.firstS * random.octaves(1, 8) * rateHz)
    const gain = ((random.chance(0.5) ? 1 : -1) * level * random.range(0.3, 1) * echo.firstS * rateHz) / delay
    for (let i = delay; i < sound.length; i++) sound[i] = sound[i]! + gain * dry[i - delay]!
  }
  const delays = [0.0297, 0.0371, 0.0411, 0.0437].map((s) => Math.round(s * random.range(0.9, 1.3) * rateHz))
  const lines = delays.map((d) => new Float32Array(d))
  const keep = delays.map((d) => 10 ** ((-3 * d) / rateHz / echo.tailS))
  const dull = new Float64Array(4)
  const a = 1 - Math.exp((-2 * Math.PI * random.range(2500, 6000)) / rateHz)
  const feed = level * 0.35
  for (let i = 0; i < sound.length; i++) {
    const v = lines.map((line, k) => line[i % delays[k]!]!)
    const half = 0.5 * (v[0]! + v[1]! + v[2]! + v[3]!)
    for (let k = 0; k < 4; k++) {
      dull[k] = dull[k]! + a * (keep[k]! * (half - v[k]!) - dull[k]!)
      lines[k]![i % delays[k]!] = dull[k]! + feed * dry[i]!
    }
    sound[i] = sound[i]! + v[0]! - v[1]! + v[2]! - v[3]!
  }
}
