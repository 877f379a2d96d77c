import { addScaled, scaleToLevel, smoothOnePole } from '../sound/filters.js'
import type { Random } from '../sound/random.js'
import { makeTalk } from './talk.js'

/** One voice close by, two in turn, a babble of many, or one voice that hums and holds its pitch. */
export function makeSpeech(random: Random, durationS: number, rateHz: number): Float32Array {
  const kind = random.pick(['one', 'one', 'two', 'babble', 'held'] as const)
  if (kind === 'one') return makeTalk(random, durationS, rateHz)
  if (kind === 'held')
    return addScaled(holdVowel(random, durationS, rateHz), makeTalk(random, durationS, rateHz), 0.2)
  const out = new Float32Array(Math.round(durationS * rateHz))
  const voices = kind === 'two' ? 2 : random.integer(4, 7)
  for (let k = 0; k < voices; k++) {
    const voice = scaleToLevel(makeTalk(random.fork(`voice ${k}`), durationS, rateHz), random.between(0.4, 1))
    addScaled(out, kind === 'babble' ? smoothOnePole(voice, rateHz, random.between(1500, 5000)) : voice, 1)
  }
  return out
}

/** A long "aah" or "mmm" whose pitch wavers: the nearest a voice comes to an engine that runs steadily. */
function holdVowel(random: Random, durationS: number, rateHz: number): Float32Array {
  const n = Math.round(durationS * rateHz)
  const out = new Float32Array(n)
  let at = 0
  while (at < n) {
    const length = Math.min(n - at, Math.round(random.between(0.8, 2.5) * rateHz))
    const note = makeTalk(random.fork(`hold ${at}`), 0.7, rateHz, random.between(80, 250))
    const pitch = random.between(80, 250)
    const shapes = [random.between(300, 800), random.between(900, 2200)]
    let phase = 0
    for (let i = 0; i < length; i++) {
      phase +=
        (pitch * (1 + 0.015 * Math.sin((2 * Math.PI * 5.3 * i) / rateHz) + 0.006 * random.gauss())) / rateHz
      phase -= Math.floor(phase)
      const t = phase / pitch
      const edge = Math.min(1, (i / rateHz) * 15, ((length - i) / rateHz) * 10)
      let v = 0
      for (const f of shapes) v += Math.exp(-t * f * 0.5) * Math.sin(2 * Math.PI * f * t)
      out[at + i] = v * edge
    }
    for (let i = 0; i < note.length && at + length + i < n; i++) out[at + length + i] = 0.3 * note[i]!
    at += length + Math.round(random.between(0.1, 0.6) * rateHz)
  }
  return out
}
