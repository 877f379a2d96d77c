import { filterBiquad } from '../sound/filters.js'
import type { Random } from '../sound/random.js'

/** Resonances of the throat in Hz for some vowels (rounded from G. E. Peterson & H. L. Barney, 1952; men). */
const VOWELS: readonly (readonly [number, number, number])[] = [
  [270, 2290, 3010],
  [390, 1990, 2550],
  [530, 1840, 2480],
  [660, 1720, 2410],
  [730, 1090, 2440],
  [570, 840, 2410],
  [440, 1020, 2240],
  [300, 870, 2240],
  [490, 1350, 1690],
]

/**
 * One voice talking nonsense: syllables of a buzzing or hissing source through three moving resonances, in phrases with
 * falling pitch and pauses.
 *
 * @param pitchHz mean pitch; drawn between 80 and 300 Hz when absent
 */
export function makeTalk(random: Random, durationS: number, rateHz: number, pitchHz?: number): Float32Array {
  const n = Math.round(durationS * rateHz)
  const mean = pitchHz ?? (random.chance(0.5) ? random.between(80, 150) : random.between(160, 300))
  const stretch = mean > 150 ? random.between(1.1, 1.22) : random.between(0.92, 1.05)
  const out = new Float32Array(n)
  let at = Math.round(random.between(0, 0.3) * rateHz)
  let left = 0
  let pitch = mean
  let phase = 0
  while (at < n) {
    if (left === 0) {
      at += Math.round(random.between(0.1, 0.7) * rateHz)
      left = random.integer(4, 14)
      pitch = mean * random.between(1.05, 1.3)
    }
    left--
    const length = Math.round(random.between(0.08, 0.28) * rateHz)
    const consonant = Math.round(random.between(0.01, 0.09) * rateHz)
    const from = random.pick(VOWELS)
    const to = random.chance(0.4) ? random.pick(VOWELS) : from
    const glide = random.between(-0.15, 0.12)
    const source = new Float32Array(length)
    const shimmer = random.between(0.01, 0.08)
    let height = 1
    for (let i = 0; i < length; i++) {
      const share = i / length
      phase += (pitch * (1 + glide * share) * (1 + 0.004 * random.gauss())) / rateHz
      if (phase >= 1) {
        phase -= 1
        height = 1 + shimmer * random.gauss()
      }
      // slow opening, quick closing of the glottis; its slope is what is heard
      const open =
        phase < 0.45 ? Math.sin((Math.PI * phase) / 0.9) : phase < 0.6 ? 1 - (phase - 0.45) / 0.15 : 0
      const rise = Math.min(1, share * 12, (1 - share) * 8)
      source[i] = rise * (height * open + 0.02 * random.gauss())
    }
    for (let i = length - 1; i > 0; i--) source[i] = source[i]! - source[i - 1]!
    const voiced = throat(source, from, to, stretch, rateHz)
    const loud = random.between(0.5, 1)
    for (let i = 0; i < length && at + i < n; i++) out[at + i]! += loud * voiced[i]!
    if (random.chance(0.6)) {
      const hiss = Float32Array.from({ length: consonant }, () => random.gauss())
      filterBiquad(hiss, rateHz, 'bandpass', random.between(1800, 6500), 1.2)
      const gain = random.between(0.02, 0.12)
      for (let i = 0; i < consonant && at + i < n; i++) {
        out[at + i]! += gain * hiss[i]! * Math.sin((Math.PI * i) / consonant)
      }
    }
    at += length - Math.round(0.015 * rateHz) + (random.chance(0.5) ? consonant : 0)
    pitch *= random.between(0.93, 1.02)
    pitch = Math.max(0.75 * mean, pitch)
  }
  return out
}

function throat(
  source: Float32Array,
  from: readonly number[],
  to: readonly number[],
  stretch: number,
  rateHz: number,
): Float32Array {
  const sum = new Float32Array(source.length)
  for (const k of [0, 1, 2]) {
    const start = filterBiquad(source.slice(), rateHz, 'bandpass', from[k]! * stretch, [5, 9, 11][k]!)
    const end =
      from === to ? start : filterBiquad(source.slice(), rateHz, 'bandpass', to[k]! * stretch, [5, 9, 11][k]!)
    const gain = [1, 0.6, 0.35][k]!
    for (let i = 0; i < sum.length; i++) {
      const share = i / sum.length
      sum[i]! += gain * ((1 - share) * start[i]! + share * end[i]!)
    }
  }
  return sum
}
