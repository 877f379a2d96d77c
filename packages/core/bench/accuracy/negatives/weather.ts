import { addScaled, filterBiquad, scaleToLevel } from '../sound/filters.js'
import { colouredNoise, makeWind } from '../sound/noise.js'
import type { Random } from '../sound/random.js'

/** Rain (drops over a hiss), waves that swell and break, or wind in the microphone. */
export function makeWeather(random: Random, durationS: number, rateHz: number): Float32Array {
  const n = Math.round(durationS * rateHz)
  const kind = random.pick(['rain', 'waves', 'wind', 'gutter'] as const)
  if (kind === 'wind') return makeWind(n, rateHz, random)
  if (kind === 'waves') return waves(random, n, rateHz)
  const out = scaleToLevel(
    colouredNoise(n, rateHz, random.between(2000, 8000), random),
    random.between(0.02, 0.1),
  )
  const perSecond = kind === 'rain' ? random.between(40, 400) : random.between(3, 15)
  const steady = kind === 'gutter' && random.chance(0.5)
  for (let t = 0; t < durationS; ) {
    drop(out, Math.round(t * rateHz), random.between(900, 6000), random.between(0.1, 1), rateHz)
    t += steady ? (1 + 0.02 * random.gauss()) / perSecond : -Math.log(1 - random.uniform()) / perSecond
  }
  return out
}

/** A bubble's ring after the impact: a short sine that rises a little. */
function drop(out: Float32Array, at: number, frequency: number, gain: number, rateHz: number): void {
  let phase = 0
  for (let i = 0; i < 0.02 * rateHz && at + i < out.length; i++) {
    const t = i / rateHz
    phase += (2 * Math.PI * frequency * (1 + 8 * t)) / rateHz
    out[at + i]! += gain * Math.exp(-t * 300) * Math.sin(phase)
  }
}

function waves(random: Random, n: number, rateHz: number): Float32Array {
  const low = scaleToLevel(colouredNoise(n, rateHz, 200, random), 1)
  const high = scaleToLevel(
    filterBiquad(colouredNoise(n, rateHz, 3000, random), rateHz, 'highpass', 500, 0.6),
    1,
  )
  const period = random.between(3, 8)
  const shift = random.uniform()
  for (let i = 0; i < n; i++) {
    const phase = (i / rateHz / period + shift) % 1
    const swell = phase < 0.35 ? (phase / 0.35) ** 2 : Math.exp(-(phase - 0.35) * 4)
    low[i] = low[i]! * (0.4 + 0.4 * swell)
    high[i] = high[i]! * swell
  }
  return addScaled(low, high, 1)
}
