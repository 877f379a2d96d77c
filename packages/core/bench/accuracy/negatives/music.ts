import { filterBiquad } from '../sound/filters.js'
import type { Random } from '../sound/random.js'

/** Beat, bass between 60 and 250 Hz, chords and a tune; parts drop out at random. */
export function makeMusic(random: Random, durationS: number, rateHz: number): Float32Array {
  const n = Math.round(durationS * rateHz)
  const out = new Float32Array(n)
  const beatS = 60 / random.between(70, 175)
  const root = 55 * 2 ** (random.integer(0, 12) / 12)
  const scale = random.pick([
    [0, 2, 4, 5, 7, 9, 11],
    [0, 2, 3, 5, 7, 8, 10],
  ])
  const note = (step: number): number =>
    root * 2 ** (Math.floor(step / 7) + scale[((step % 7) + 7) % 7]! / 12)
  const parts = {
    drums: random.chance(0.7),
    bass: random.chance(0.8),
    chords: random.chance(0.6),
    tune: random.chance(0.6),
  }
  if (!parts.bass && !parts.chords && !parts.tune) parts.bass = true
  const voice = random.pick(['saw', 'organ', 'plucked', 'buzz'] as const)
  const bassStep = random.pick([0.25, 0.5, 0.5, 1])
  let degree = 0
  for (let beat = 0; beat * beatS < durationS; beat++) {
    const at = beat * beatS
    if (beat % 4 === 0) degree = random.pick([0, 3, 4, 5])
    if (parts.drums) {
      if (beat % 2 === 0) kick(out, at, rateHz)
      else snare(out, at, rateHz, random)
      for (let k = 0; k < 2; k++) hat(out, at + (k * beatS) / 2, rateHz, random)
    }
    if (parts.bass) {
      for (let k = 0; k < 1; k += bassStep) {
        const step = degree + random.pick([0, 0, 0, 4, 7])
        tone(out, at + k * beatS, bassStep * beatS, note(step), 0.5, voice, rateHz)
      }
    }
    if (parts.chords && beat % 2 === 0) {
      for (const third of [0, 2, 4]) tone(out, at, 2 * beatS, 2 * note(degree + third), 0.15, voice, rateHz)
    }
    if (parts.tune) {
      for (const k of [0, 0.5])
        tone(out, at + k * beatS, 0.5 * beatS, 4 * note(random.integer(0, 9)), 0.2, 'plucked', rateHz)
    }
  }
  return filterBiquad(out, rateHz, 'highpass', 40, 0.7)
}

function tone(
  out: Float32Array,
  startS: number,
  lengthS: number,
  frequencyHz: number,
  gain: number,
  voice: 'saw' | 'organ' | 'plucked' | 'buzz',
  rateHz: number,
): void {
  const from = Math.round(startS * rateHz)
  const length = Math.round(lengthS * rateHz)
  const partials = Math.min(voice === 'organ' ? 6 : 18, Math.floor((0.4 * rateHz) / frequencyHz))
  const turn = (2 * Math.PI * frequencyHz) / rateHz
  // sum of sines by the two-term recurrence, one partial at a time
  for (let k = 1; k <= partials; k++) {
    const weight = voice === 'organ' ? 1 / k : voice === 'buzz' ? (k % 2) / Math.sqrt(k) : 1 / k
    const turns = 2 * Math.cos(k * turn)
    let before = -Math.sin(k * turn)
    let now = 0
    const fade = voice === 'plucked' ? Math.exp((-2 - k) / rateHz) : 1
    let height = gain * weight
    for (let i = 0; i < length && from + i < out.length; i++) {
      const edge = Math.min(1, (i / rateHz) * 200, ((length - i) / rateHz) * 60)
      out[from + i]! += height * edge * now
      const next = turns * now - before
      before = now
      now = next
      height *= fade
    }
  }
}

function kick(out: Float32Array, startS: number, rateHz: number): void {
  const from = Math.round(startS * rateHz)
  let phase = 0
  for (let i = 0; i < 0.2 * rateHz && from + i < out.length; i++) {
    const t = i / rateHz
    phase += (2 * Math.PI * (50 + 90 * Math.exp(-t * 35))) / rateHz
    out[from + i]! += 1.1 * Math.exp(-t * 18) * Math.sin(phase)
  }
}

function snare(out: Float32Array, startS: number, rateHz: number, random: Random): void {
  const from = Math.round(startS * rateHz)
  for (let i = 0; i < 0.18 * rateHz && from + i < out.length; i++) {
    const t = i / rateHz
    out[from + i]! += Math.exp(-t * 25) * (0.35 * random.gauss() + 0.4 * Math.sin(2 * Math.PI * 190 * t))
  }
}

function hat(out: Float32Array, startS: number, rateHz: number, random: Random): void {
  const from = Math.round(startS * rateHz)
  let last = 0
  for (let i = 0; i < 0.05 * rateHz && from + i < out.length; i++) {
    const v = random.gauss()
    out[from + i]! += 0.15 * Math.exp((-i / rateHz) * 90) * (v - last)
    last = v
  }
}
