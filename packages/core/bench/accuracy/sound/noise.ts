import { filterBiquad, smoothOnePole } from './filters.js'
import type { Random } from './random.js'

/** Noise that falls by 6 dB an octave above the corner. */
export function colouredNoise(n: number, rateHz: number, cornerHz: number, random: Random): Float32Array {
  const x = Float32Array.from({ length: n }, () => random.gauss())
  return smoothOnePole(x, rateHz, cornerHz)
}

/** Gusts on the microphone: very low noise whose level wanders, with short overblown bursts. */
export function makeWind(n: number, rateHz: number, random: Random): Float32Array {
  const low = filterBiquad(colouredNoise(n, rateHz, 45, random), rateHz, 'highpass', 12, 0.7)
  const high = filterBiquad(colouredNoise(n, rateHz, 600, random), rateHz, 'bandpass', 400, 0.5)
  const hop = Math.round(0.02 * rateHz)
  let gust = 0
  let wanted = 0
  for (let i = 0; i < n; i++) {
    if (i % hop === 0) wanted = 0.97 * wanted + 0.25 * random.gauss()
    gust += (wanted - gust) * (12 / rateHz)
    const strength = Math.exp(1.1 * gust)
    low[i] = low[i]! * strength + 0.4 * high[i]! * strength * strength
  }
  return low
}
