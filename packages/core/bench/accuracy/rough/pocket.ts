import { addScaled, filterBiquad, rootMeanSquare } from '../sound/filters.js'
import type { Random } from '../sound/random.js'
import { noise } from './street.js'

/** What cloth lets through, Hz. */
const CLOTH_HZ = 700

/** The sound from within a pocket: dull, with cloth that rubs at every stroke of the leg and keys that rattle. In place. */
export function intoPocket(x: Float32Array, rateHz: number, random: Random): Float32Array {
  filterBiquad(x, rateHz, 'lowpass', CLOTH_HZ, 0.6)
  const level = rootMeanSquare(x)
  const strokeS = random.between(0.35, 0.6)
  const durationS = x.length / rateHz
  for (let atS = random.between(0, strokeS); atS < durationS; atS += strokeS * random.between(0.9, 1.1)) {
    addBurst(x, rateHz, random, {
      atS,
      fadeS: random.between(0.04, 0.1),
      bandHz: random.between(150, 500),
      level,
    })
    if (random.chance(0.4)) continue
    for (let keys = random.integer(1, 4); keys > 0; keys--)
      addBurst(x, rateHz, random, {
        atS: atS + random.between(0, 0.15),
        fadeS: random.between(0.003, 0.015),
        bandHz: random.between(1500, 5000),
        level: 2 * level,
      })
  }
  return x
}

interface Burst {
  readonly atS: number
  readonly fadeS: number
  readonly bandHz: number
  /** Root mean square at its begin. */
  readonly level: number
}

function addBurst(
  x: Float32Array,
  rateHz: number,
  random: Random,
  { atS, fadeS, bandHz, level }: Burst,
): void {
  const from = Math.round(atS * rateHz)
  const length = Math.min(Math.round(5 * fadeS * rateHz), x.length - from)
  if (length < 1) return
  const burst = filterBiquad(noise(random, length), rateHz, 'bandpass', bandHz, 1)
  const scale = level / rootMeanSquare(burst)
  for (let i = 0; i < length; i++) burst[i] = burst[i]! * scale * Math.exp(-i / rateHz / fadeS)
  addScaled(x.subarray(from, from + length), burst, 1)
}
