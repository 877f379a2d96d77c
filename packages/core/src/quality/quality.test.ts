import { describe, expect, it } from 'vitest'
import type { SpeedTrack } from '../crank/types.js'
import { seededRandom } from '../math/random.js'
import { QUALITY_TEXTS } from './advice.js'
import { QUALITY_LIMITS, recordingQuality } from './quality.js'
import type { Hindrance } from './types.js'

const RATE_HZ = 44_100

/** A made-up engine: a ringing crack in every turn over hiss. `rpm` and `gain` follow time. */
function engine(
  seconds: number,
  rpm: (t: number) => number = () => 5000,
  gain: (t: number) => number = () => 1,
) {
  const next = seededRandom(3)
  const samples = new Float32Array(Math.round(seconds * RATE_HZ))
  for (let t = 0; t < seconds; t += 60 / rpm(t)) {
    const start = Math.round(t * RATE_HZ)
    const strength = 0.4 * gain(t) * (0.9 + 0.2 * next())
    for (let i = 0; i < 500 && start + i < samples.length; i++) {
      const s = i / RATE_HZ
      const ring = Math.sin(2 * Math.PI * 180 * s) + 0.5 * Math.sin(2 * Math.PI * 900 * s)
      samples[start + i]! +=
        strength * Math.exp(-s / 0.003) * (ring + 0.6 * (next() - 0.5) * Math.exp(-s / 0.001))
    }
  }
  return samples.map((x) => x + 0.02 * (next() - 0.5))
}

function speedOf(seconds: number, rpm: (t: number) => number): SpeedTrack {
  const timeS = Float64Array.from({ length: Math.floor(seconds / 0.02) }, (_, i) => (i + 0.5) * 0.02)
  const stretch = {
    startS: 0,
    endS: seconds,
    ambiguous: false,
    alternativeFactor: null,
    readingProbability: 1,
  }
  return {
    timeS,
    speedRpm: timeS.map(rpm),
    speedProbability: new Float32Array(timeS.length),
    stretches: [stretch],
  }
}

/** One-pole low pass. */
function lowpass(samples: Float32Array, hz: number): Float32Array {
  const keep = Math.exp((-2 * Math.PI * hz) / RATE_HZ)
  let state = 0
  return samples.map((x) => {
    state = keep * state + (1 - keep) * x
    return state
  })
}

function judge(samples: Float32Array, context: Partial<Parameters<typeof recordingQuality>[1]> = {}) {
  const speed = speedOf(samples.length / RATE_HZ, () => 5000)
  return recordingQuality({ samples, rateHz: RATE_HZ, notes: [] }, { speed, engineHeard: true, ...context })
}
const codes = (...from: Parameters<typeof judge>) =>
  judge(...from).hindrances.map((hindrance) => hindrance.code)

describe('recordingQuality', () => {
  it('finds nothing in the way of a clear engine', () => {
    const quality = judge(engine(8), { pulseToNoiseDb: 9 })
    expect(quality).toMatchObject({ score: 1, hindrances: [], clippedRatio: 0, pulseToNoiseDb: 9 })
    expect(quality.bandwidthHz).toBeGreaterThan(6000)
  })
  it('judges the same at any gain, but for the levels', () => {
    const samples = lowpass(engine(6), 900)
    const loud = judge(samples.map((x) => 2 * x))
    const plain = judge(samples)
    expect(loud.hindrances).toEqual(plain.hindrances)
    expect(loud.score).toBe(plain.score)
    expect(loud.levelDbfs - plain.levelDbfs).toBeCloseTo(20 * Math.log10(2), 4)
    expect(loud.peakDbfs - plain.peakDbfs).toBeCloseTo(20 * Math.log10(2), 4)
  })
  it('calls a hardly audible recording too quiet, and silence as well', () => {
    expect(codes(engine(6).map((x) => x / 2000))).toEqual(['too-quiet'])
    const silent = judge(new Float32Array(6 * RATE_HZ), { engineHeard: false })
    expect(silent.hindrances[0]).toMatchObject({ code: 'too-quiet' })
    expect(silent.score).toBeLessThan(0.5)
    expect(silent.levelDbfs).toBe(-120)
  })
  it('hears clipping', () => {
    expect(codes(engine(6).map((x) => Math.min(0.1, Math.max(-0.1, x))))).toContain('clipping')
  })
  it('hears wind', () => {
    const next = seededRandom(8)
    const rough = lowpass(
      lowpass(
        Float32Array.from({ length: 6 * RATE_HZ }, () => next() - 0.5),
        30,
      ),
      30,
    )
    const gusty = engine(6).map((x, i) => 0.3 * x + 8 * rough[i]! * (1 + 0.8 * Math.sin(i / 30_000)))
    expect(codes(gusty)).toEqual(['wind'])
  })
  it('hears somebody talk', () => {
    const next = seededRandom(5)
    const hiss = Float32Array.from({ length: 8 * RATE_HZ }, () => next() - 0.5)
    const dull = lowpass(lowpass(hiss, 3000), 3000)
    // Five syllables a second: hiss first, then a buzz through one of three vowels, then a pause.
    const talk = hiss.map((x, i) => {
      const place = ((5 * i) / RATE_HZ) % 1
      if (place < 0.25) return 0.25 * (x - dull[i]!)
      if (place > 0.8) return 0.001 * x // a room is never dead silent
      const formant = [600, 1200, 2200][Math.floor((5 * i) / RATE_HZ) % 3]!
      const t = (i / RATE_HZ) % (1 / 140)
      const cry = Math.sin(2 * Math.PI * 450 * t) + Math.sin(2 * Math.PI * formant * t)
      return 0.4 * Math.exp(-t / 0.003) * cry
    })
    const engineSound = engine(8, undefined, () => 0.25)
    expect(codes(engineSound.map((x, i) => x + talk[i]!))).toEqual(['speech'])
    expect(codes(talk, { engineHeard: false })).toEqual(['speech'])
    expect(codes(engineSound)).toEqual([])
  })
  it('hears the phone level the loudness, when the engine changes speed enough to tell', () => {
    const rpm = (t: number) => (t < 4 ? 2500 : 6000)
    const levelled = engine(8, rpm, (t) => (t < 4 ? 1 : 0.65))
    const plain = engine(8, rpm, (t) => (t < 4 ? 0.2 : 1))
    const speed = speedOf(8, rpm)
    expect(codes(levelled, { speed })).toEqual(['levelling'])
    expect(codes(plain, { speed })).toEqual([])
  })
  it('hears the narrow band of a phone call, of an engine only', () => {
    const samples = [1, 2, 3, 4].reduce<Float32Array>((sound) => lowpass(sound, 1500), engine(6))
    expect(codes(samples)).toEqual(['narrow-band'])
    expect(codes(samples, { engineHeard: false })).toEqual([])
  })
  it('finds the engine too far, by what earlier stages measured', () => {
    expect(codes(engine(6), { pulseToNoiseDb: -6 })).toEqual(['too-far'])
    expect(codes(engine(6), { pulseToNoiseDb: null })).toEqual([])
  })
  it('finds other sounds as loud as the engine', () => {
    const next = seededRandom(6)
    const speed = speedOf(8, (t) => (t < 4 ? 5000 : Number.NaN))
    const samples = engine(8, undefined, (t) => (t < 4 ? 1 : 0))
    expect(codes(samples, { speed })).toEqual([])
    const mixed = samples.map((x, i) => (i > 4 * RATE_HZ ? x + 0.8 * (next() - 0.5) : x))
    expect(codes(mixed, { speed })).toContain('other-sounds')
  })
  it('finds the clip, or the running in it, too short', () => {
    expect(codes(engine(1.2))).toEqual(['too-short'])
    const speed = {
      ...speedOf(8, () => 5000),
      stretches: [{ ...speedOf(8, () => 5000).stretches[0]!, endS: 1 }],
    }
    expect(codes(engine(8), { speed })).toEqual(['too-short'])
  })
  it('puts the worst first and takes more off for more', () => {
    const dull = judge(lowpass(lowpass(lowpass(engine(6), 700), 700), 700))
    const both = judge(lowpass(lowpass(lowpass(engine(6), 700), 700), 700), { pulseToNoiseDb: -9 })
    expect(both.hindrances.map(({ code }) => code)).toEqual(['too-far', 'narrow-band'])
    expect(both.score).toBeLessThan(dull.score)
    expect(both.score).toBeGreaterThan(0)
  })
  it('survives a recording shorter than a frame and no context at all', () => {
    const quality = recordingQuality(
      { samples: new Float32Array(10), rateHz: 8000, notes: [] },
      { engineHeard: false },
    )
    expect(quality.score).toBeGreaterThan(0)
    expect(quality.hindrances.map(({ code }) => code)).toEqual(['too-short'])
  })
  it('leaves every text complete: the figure in, a way out', () => {
    for (const code of Object.keys(QUALITY_LIMITS) as Hindrance[]) {
      expect(QUALITY_TEXTS[code].message.split('{}')).toHaveLength(2)
      expect(QUALITY_TEXTS[code].advice).toMatch(/^[A-Z].*\.$/)
    }
    const [hindrance] = judge(engine(6), { pulseToNoiseDb: -6.2 }).hindrances
    expect(hindrance!.message).toContain('-6 dB')
  })
  it('finds in ten minutes what it finds in twenty seconds of them', () => {
    const once = engine(20)
    const long = new Float32Array(600 * RATE_HZ).map((_, i) => once[i % once.length]!)
    const names = (samples: Float32Array) => judge(samples).hindrances.map(({ code }) => code)
    expect(names(long)).toEqual(names(once))
  })
})
