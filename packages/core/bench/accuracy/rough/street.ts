import { addScaled, filterBiquad, rootMeanSquare, smoothOnePole } from '../sound/filters.js'
import type { Random } from '../sound/random.js'

/** A street: low rumble all the time, cars that swell and fade, a few knocks of things put down. Any level. */
export function makeStreet(random: Random, durationS: number, rateHz: number): Float32Array {
  const length = Math.round(durationS * rateHz)
  const street = smoothOnePole(noise(random, length), rateHz, random.between(150, 400))
  const level = rootMeanSquare(street)
  for (let cars = random.integer(1, 3); cars > 0; cars--) {
    const tyres = filterBiquad(noise(random, length), rateHz, 'bandpass', random.between(500, 1200), 0.7)
    swell(tyres, rateHz, random.between(0, durationS), random.between(0.5, 1.8))
    addScaled(street, tyres, (random.between(0.5, 1.5) * level) / rootMeanSquare(tyres))
  }
  for (let knocks = random.integer(2, 5); knocks > 0; knocks--)
    addKnock(street, rateHz, random, random.between(2, 6) * level)
  return street
}

/** White noise. */
export const noise = (random: Random, length: number): Float32Array =>
  Float32Array.from({ length }, () => random.gauss())

/** Fades in and out around a moment, in place, as a bell of some width. */
function swell(x: Float32Array, rateHz: number, atS: number, widthS: number): void {
  for (let i = 0; i < x.length; i++) x[i] = x[i]! * Math.exp(-0.5 * ((i / rateHz - atS) / widthS) ** 2)
}

/** A dull blow: two resonances that die away. */
function addKnock(x: Float32Array, rateHz: number, random: Random, peak: number): void {
  const from = random.integer(0, x.length - 1)
  const tones = [random.between(90, 300), random.between(300, 1500)]
  const fadeS = random.between(0.01, 0.06)
  const end = Math.min(x.length, from + Math.round(8 * fadeS * rateHz))
  for (let i = from; i < end; i++) {
    const afterS = (i - from) / rateHz
    const ring = tones.reduce((sum, hz) => sum + Math.sin(2 * Math.PI * hz * afterS), 0)
    x[i] = x[i]! + 0.5 * peak * ring * Math.exp(-afterS / fadeS)
  }
}
