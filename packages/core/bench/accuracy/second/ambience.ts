import { makeCars } from '../negatives/cars.js'
import { makeTalk } from '../negatives/talk.js'
import { addScaled, filterBiquad, rootMeanSquare, scaleToLevel } from '../sound/filters.js'
import { colouredNoise, makeWind } from '../sound/noise.js'
import type { Random } from '../sound/random.js'
import type { Ambience } from './types.js'

/** Adds the foreign sounds, each set against the root mean square of the clip as it comes in. */
export function addAmbience(x: Float32Array, ambience: Ambience, rateHz: number, random: Random): void {
  const reference = rootMeanSquare(x)
  const n = x.length
  const durationS = n / rateHz
  const add = (levelDb: number, name: string, make: (own: Random) => Float32Array): void => {
    if (levelDb === Number.NEGATIVE_INFINITY) return
    addScaled(x, scaleToLevel(make(random.fork(name)), reference * 10 ** (levelDb / 20)), 1)
  }
  add(ambience.rattleDb, 'rattle', (own) => rattle(x, rateHz, own))
  add(ambience.hissDb, 'hiss', (own) => colouredNoise(n, rateHz, 5000, own))
  add(ambience.rumbleDb, 'rumble', (own) => colouredNoise(n, rateHz, 160, own))
  add(ambience.windDb, 'wind', (own) => makeWind(n, rateHz, own))
  add(ambience.carDb, 'car', (own) => carPassing(durationS, rateHz, own))
  add(ambience.speechDb, 'speech', (own) => makeTalk(own, durationS, rateHz))
  add(ambience.humDb, 'hum', (own) => hum(n, rateHz, own))
  add(ambience.rustleDb, 'rustle', (own) => rustle(n, rateHz, own))
}

function carPassing(durationS: number, rateHz: number, random: Random): Float32Array {
  const car = makeCars(random, durationS, rateHz)
  const n = car.length
  const level = rootMeanSquare(car)
  const tyres = scaleToLevel(
    filterBiquad(colouredNoise(n, rateHz, 1500, random), rateHz, 'bandpass', 900, 0.5),
    level * random.between(0.5, 1.2),
  )
  const at = durationS * random.between(0.3, 0.7)
  const width = random.between(0.8, 1.8)
  for (let i = 0; i < n; i++) {
    const t = (i / rateHz - at) / width
    car[i] = (car[i]! + tyres[i]!) / (1 + t * t)
  }
  return car
}

/** Mains and machine hums; they stay put while the engine's lines move. */
function hum(n: number, rateHz: number, random: Random): Float32Array {
  const x = new Float32Array(n)
  for (let k = random.integer(1, 3); k > 0; k--) {
    const frequency =
      random.pick([39.5, 48, 50, 60, 62, 79, 80, 100, 120, 360]) * random.between(0.995, 1.005)
    const phase = random.between(0, 6.28)
    const gain = random.between(0.3, 1)
    const drift = random.between(0, 0.05)
    for (let i = 0; i < n; i++) {
      const t = i / rateHz
      x[i]! += gain * (1 + drift * Math.sin(2.1 * t)) * Math.sin(2 * Math.PI * frequency * t + phase)
    }
  }
  return x
}

/** A loose sheet that hits its stop when the machine shakes it hard enough: bursts of bright ringing. */
function rattle(drive: Float32Array, rateHz: number, random: Random): Float32Array {
  const shake = filterBiquad(drive.slice(), rateHz, 'bandpass', random.between(60, 140), 1.5)
  const limit = rootMeanSquare(shake) * random.between(1.3, 1.9)
  const x = new Float32Array(shake.length)
  let armed = true
  for (let i = 0; i < x.length; i++) {
    if (armed && shake[i]! > limit) {
      x[i] = random.between(0.3, 1)
      armed = false
    } else if (shake[i]! < 0) armed = true
  }
  const frequency = random.between(1500, 4200)
  const second = filterBiquad(x.slice(), rateHz, 'bandpass', 1.7 * frequency, 9)
  return addScaled(filterBiquad(x, rateHz, 'bandpass', frequency, 12), second, 0.6)
}

/** Cloth and fingers on the microphone. */
function rustle(n: number, rateHz: number, random: Random): Float32Array {
  const x = colouredNoise(n, rateHz, 900, random)
  let level = 0
  for (let i = 0; i < n; i++) {
    if (random.uniform() < 4 / rateHz) level = random.between(0.2, 1)
    level *= 1 - random.between(0, 16) / rateHz
    x[i] = x[i]! * level
  }
  return filterBiquad(x, rateHz, 'highpass', 80, 0.7)
}
