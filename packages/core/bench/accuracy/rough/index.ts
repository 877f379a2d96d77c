import type { Recording } from '../../../src/decode/types.js'
import { addScaled, filterBiquad, limitPeak, rootMeanSquare, scaleToLevel } from '../sound/filters.js'
import { createRandom, type Random } from '../sound/random.js'
import { makeCar } from './car.js'
import { throughAmr, throughOpus } from './codecs.js'
import type { RoughKind } from './kinds.js'
import { levelQuickly } from './leveller.js'
import { intoPocket } from './pocket.js'
import { speak } from './speech.js'
import { makeStreet } from './street.js'

/** Level of the engine above the street: 8 dB. */
const STREET_SNR = 10 ** (8 / 20)
const LOW_HZ = 900
/** Qualities of the two halves of a fourth-order Butterworth low-pass. */
const BUTTERWORTH_Q = [0.5412, 1.3066] as const
const LEVELLER_S = 0.05
const CEILING = 0.99

type MakeRough = (sound: Recording, samples: Float32Array, random: Random) => Recording | Float32Array

const MAKERS: Readonly<Record<RoughKind, MakeRough>> = {
  street: ({ rateHz }, x, random) =>
    mix(x, scaleToLevel(makeStreet(random, x.length / rateHz, rateHz), 1), 1 / STREET_SNR),
  'amr-4.75': (sound) => throughAmr(sound, 4.75),
  'amr-12.2': (sound) => throughAmr(sound, 12.2),
  'opus-12': (sound) => throughOpus(sound, 12),
  'low-passed': ({ rateHz }, x) => {
    for (const q of BUTTERWORTH_Q) filterBiquad(x, rateHz, 'lowpass', LOW_HZ, q)
    return x
  },
  levelled: ({ rateHz }, x) => levelQuickly(x, rateHz, LEVELLER_S),
  speech: ({ rateHz }, x, random) => mix(x, scaleToLevel(speak(random, x.length / rateHz, rateHz), 1), 1),
  car: ({ rateHz }, x, random) => mix(x, makeCar(random, x.length / rateHz, rateHz), 1),
  pocket: ({ rateHz }, x, random) => intoPocket(x, rateHz, random),
}

/**
 * A recording as it would have been in a worse place or through a worse phone.
 *
 * @param seed whole number: the same recording, kind and seed give the same sound
 * @returns a new recording, of another rate after a codec; clipped nowhere
 * @throws {Error} when a program that the kind needs is missing or fails; see `lacking`
 */
export function roughen(sound: Recording, kind: RoughKind, seed: number): Recording {
  const samples = Float32Array.from(sound.samples)
  const made = MAKERS[kind]({ ...sound, samples }, samples, createRandom(seed, `rough/${kind}`))
  return made instanceof Float32Array ? { ...sound, samples: limitPeak(made, CEILING) } : made
}

/** Adds another sound whose level of 1 becomes `share` of the first one's, in place. */
const mix = (x: Float32Array, other: Float32Array, share: number): Float32Array =>
  addScaled(x, other, share * rootMeanSquare(x))
