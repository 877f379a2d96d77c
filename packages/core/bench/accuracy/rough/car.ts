import { addScaled, filterBiquad, rootMeanSquare } from '../sound/filters.js'
import type { Random } from '../sound/random.js'
import { noise } from './street.js'

const SOUND_SPEED = 343
/** Orders of a four-cylinder's crank that are heard, with their strengths; it fires twice a turn. */
const ORDERS = [
  [0.5, 0.15],
  [1, 0.3],
  [1.5, 0.2],
  [2, 1],
  [3, 0.25],
  [4, 0.6],
  [6, 0.4],
  [8, 0.2],
] as const

/**
 * A car that comes, passes and goes: engine and tyres, louder and with the pitch falling as it passes.
 *
 * @returns the root mean square of its loudest second is 1
 */
export function makeCar(random: Random, durationS: number, rateHz: number): Float32Array {
  const length = Math.round(durationS * rateHz)
  const crankHz = random.between(25, 45)
  const speed = random.between(8, 18)
  const besideM = random.between(2.5, 6)
  const passesS = random.between(0.3, 0.7) * durationS
  const offsets = ORDERS.map(() => random.between(0, 2 * Math.PI))
  const tyres = filterBiquad(noise(random, length), rateHz, 'bandpass', random.between(700, 1300), 0.6)
  const car = new Float32Array(length)
  let turns = 0
  for (let i = 0; i < length; i++) {
    const alongM = speed * (i / rateHz - passesS)
    const distanceM = Math.hypot(alongM, besideM)
    turns += crankHz / (1 + (speed * alongM) / distanceM / SOUND_SPEED) / rateHz
    const engine = ORDERS.reduce(
      (sum, [order, strength], k) => sum + strength * Math.sin(2 * Math.PI * order * turns + offsets[k]!),
      0,
    )
    car[i] = (besideM / distanceM) * (0.6 * engine + 1.5 * tyres[i]!)
  }
  return addScaled(new Float32Array(length), car, 1 / loudestSecond(car, rateHz))
}

/** Root mean square of the loudest second, to a tenth of a second. */
function loudestSecond(x: Float32Array, rateHz: number): number {
  let loudest = 0
  for (let from = 0; from === 0 || from + rateHz <= x.length; from += Math.round(rateHz / 10))
    loudest = Math.max(loudest, rootMeanSquare(x, from, Math.min(x.length, from + rateHz)))
  return loudest
}
