import { addFiltered, biquad, lowpass } from './filters.js'
import { addFront } from './pulses.js'
import type { Random } from './random.js'

/** First two resonances of some vowels, Hz. Common textbook values, rounded. */
const VOWELS = [
  [730, 1090],
  [270, 2290],
  [300, 870],
  [530, 1840],
  [570, 840],
  [440, 1020],
] as const

/** One to three voices talking: glottal pulses through vowels that change each syllable, hissing consonants between. */
export function babble(out: Float32Array, rateHz: number, random: Random): void {
  for (let talker = random.whole(1, 3); talker > 0; talker--)
    talk(out, rateHz, random.fork(`talker${talker}`))
}

function talk(out: Float32Array, rateHz: number, random: Random): void {
  const voiceHz = random.octaves(95, 230)
  const syllablesPerS = random.range(3, 5.5)
  const lengthS = out.length / rateHz
  let startS = random.range(0, 0.4)
  while (startS < lengthS) {
    const durationS = random.range(0.6, 1.3) / syllablesPerS
    const from = Math.floor(startS * rateHz)
    const length = Math.min(Math.floor(durationS * 1.3 * rateHz), out.length - from)
    if (length > 0) {
      const syllable = new Float32Array(length)
      let timeS = 0
      const glide = random.range(-0.2, 0.15)
      const accent = random.range(0.85, 1.25)
      while (timeS < durationS) {
        const level = Math.sin((Math.PI * timeS) / durationS) ** 0.7
        addFront(syllable, rateHz, timeS, level, 0.0006, 0.002)
        timeS += (1 + 0.01 * random.normal()) / (voiceHz * accent * (1 + (glide * timeS) / durationS))
      }
      if (random.chance(0.5)) {
        const hissing = Math.min(length, Math.floor(random.range(0.03, 0.09) * rateHz))
        for (let i = 0; i < hissing; i++) syllable[i] = syllable[i]! + random.range(-0.5, 0.5)
      }
      const vowel = random.pick(VOWELS)
      const voiced = new Float32Array(length)
      addFiltered(voiced, syllable, biquad('band', rateHz, vowel[0], 6), 1)
      addFiltered(voiced, syllable, biquad('band', rateHz, vowel[1], 9), 0.6)
      addFiltered(voiced, syllable, biquad('band', rateHz, 2700, 8), 0.3)
      for (let i = 0; i < length; i++) out[from + i] = out[from + i]! + voiced[i]!
    }
    startS += durationS + (random.chance(0.12) ? random.range(0.2, 0.8) : 0)
  }
}

/** Chords, a bass line and a beat from a loudspeaker. */
export function music(out: Float32Array, rateHz: number, random: Random): void {
  const beatS = 60 / random.range(80, 150)
  const rootHz = random.octaves(110, 220)
  const beats = Math.ceil(out.length / rateHz / beatS)
  for (let beat = 0; beat < beats; beat++) {
    const step = random.pick([0, 2, 4, 5, 7, 9])
    for (const semitone of [step - 12, step, step + 4, step + 7]) {
      addNote(out, rateHz, beat * beatS, beatS, rootHz * 2 ** (semitone / 12), 0.3)
    }
    const from = Math.floor(beat * beatS * rateHz)
    for (let i = 0; i < 0.08 * rateHz && from + i < out.length; i++) {
      const fade = Math.exp(-i / (0.015 * rateHz))
      const sound = beat % 2 === 0 ? Math.sin((2 * Math.PI * 60 * i) / rateHz) : random.range(-1, 1)
      out[from + i] = out[from + i]! + sound * fade
    }
  }
  lowpass(out, rateHz, 5000)
}

function addNote(
  out: Float32Array,
  rateHz: number,
  startS: number,
  durationS: number,
  hz: number,
  gain: number,
): void {
  const from = Math.floor(startS * rateHz)
  const count = Math.min(out.length - from, Math.floor(durationS * rateHz))
  for (let i = 0; i < count; i++) {
    const fade = gain * Math.exp((-2 * i) / count) * Math.min(1, i / 200)
    const phase = (hz * i) / rateHz
    out[from + i] = out[from + i]! + fade * (2 * (phase - Math.floor(phase)) - 1)
  }
}
