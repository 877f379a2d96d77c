import { addScaled, limitPeak, scaleToLevel, smoothOnePole } from '../sound/filters.js'
import { createRandom, type Random } from '../sound/random.js'
import { makeAnimals } from './animals.js'
import { makeCars } from './cars.js'
import { makeMusic } from './music.js'
import { makeRotors } from './rotors.js'
import { makeSpeech } from './speech.js'
import { makeTicks } from './ticks.js'
import { makeElectricTools } from './tools.js'
import { makeWeather } from './weather.js'

const MAKERS = {
  speech: makeSpeech,
  music: makeMusic,
  ticks: makeTicks,
  rotors: makeRotors,
  'multi-cylinder': makeCars,
  'electric-tools': makeElectricTools,
  weather: makeWeather,
  animals: makeAnimals,
} as const satisfies Record<string, (random: Random, durationS: number, rateHz: number) => Float32Array>

export type NegativeKind = keyof typeof MAKERS

/** Kinds of sound that are no small two-stroke. */
export const NEGATIVE_KINDS = Object.keys(MAKERS) as NegativeKind[]

/**
 * A sound that is no small two-stroke, with some room and background hiss, as a phone would hear it.
 *
 * @param seed      whole number; the same kind, seed and length give the same clip
 * @param durationS length, seconds
 * @returns mono samples within ±1; the rate is 44,100 or 48,000 Hz, or 16,000 Hz one time in six
 */
export function makeNegative(
  kind: NegativeKind,
  seed: number,
  durationS = 8,
): { samples: Float32Array; rateHz: number } {
  const random = createRandom(seed, `negative/${kind}`)
  const rateHz = random.pick([44100, 44100, 44100, 48000, 48000, 16000])
  const sound = scaleToLevel(MAKERS[kind](random.fork('sound'), durationS, rateHz), 1)
  addRoom(sound, rateHz, random)
  const hiss = Float32Array.from({ length: sound.length }, () => random.gauss())
  scaleToLevel(smoothOnePole(hiss, rateHz, random.between(500, 6000)), 10 ** (random.between(-45, -15) / 20))
  addScaled(sound, hiss, 1)
  scaleToLevel(sound, 10 ** (random.between(-30, -14) / 20))
  return { samples: limitPeak(sound, 0.99), rateHz }
}

/** A few late copies, each duller than the one before. */
function addRoom(x: Float32Array, rateHz: number, random: Random): void {
  if (random.chance(0.3)) return
  for (let k = random.integer(2, 5); k > 0; k--) {
    const delay = Math.round(random.between(0.003, 0.06) * rateHz)
    const copy = smoothOnePole(x.slice(0, x.length - delay), rateHz, random.between(800, 5000))
    const gain = random.between(0.1, 0.45)
    for (let i = delay; i < x.length; i++) x[i]! += gain * copy[i - delay]!
  }
}
