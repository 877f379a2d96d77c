import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { analyze } from '../analyze.js'
import { decodeWav } from '../decode/index.js'
import { resample } from '../ear/resample.js'
import { seededRandom } from '../math/random.js'
import { scoreIfLonger } from '../scoreIfLonger.js'
import { analyzeStream } from '../stream/index.js'
import { loggedClip } from '../tuning/loggedClip.js'
import { holesPerSecond } from './holes.js'

const RATE_HZ = 22_050
const CLIP = decodeWav(
  readFileSync(fileURLToPath(new URL('../../../../fixtures/cruise-needle-clip-3.wav', import.meta.url))),
).channels[0]!

/** The sound with `count` holes so long at random places; where `isLate`, what they hide comes after them. */
function withHoles(samples: Float32Array, count: number, lengthS: number, isLate: boolean): Float32Array {
  const random = seededRandom(4)
  const length = Math.round(lengthS * RATE_HZ)
  const places = Array.from({ length: count }, () => Math.floor(random() * samples.length)).sort(
    (a, b) => a - b,
  )
  const parts: Float32Array[] = []
  let from = 0
  for (const place of places) {
    parts.push(samples.subarray(from, Math.max(from, place)), new Float32Array(length))
    from = Math.max(from, place) + (isLate ? 0 : length)
  }
  parts.push(samples.subarray(from))
  const out = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0))
  let at = 0
  for (const part of parts) {
    out.set(part, at)
    at += part.length
  }
  return out
}

describe('holesPerSecond', () => {
  it.each([
    [0.0029, false],
    [0.006, true],
    [0.03, false],
    [0.15, true],
  ])('counts most holes of %d s', (lengthS, isLate) => {
    const holed = withHoles(CLIP, 20, lengthS, isLate)
    const found = (holesPerSecond(holed, RATE_HZ) * holed.length) / RATE_HZ
    expect(found).toBeGreaterThan(10)
    expect(found).toBeLessThanOrEqual(20.01)
  })
  it('counts them after a change of rate too', () => {
    const holed = resample(withHoles(CLIP, 20, 0.008, true), RATE_HZ, 48_000)
    expect((holesPerSecond(holed, 48_000) * holed.length) / 48_000).toBeGreaterThan(10)
  })
  it('counts no pause, no silence at either end, no sound that dies away, nothing of a whole recording', () => {
    const second = new Float32Array(RATE_HZ)
    const quiet = (samples: Float32Array) => holesPerSecond(samples, RATE_HZ)
    expect(quiet(CLIP)).toBe(0)
    expect(quiet(withHoles(CLIP, 3, 0.5, true))).toBe(0)
    expect(quiet(Float32Array.from([...second, ...CLIP, ...second]))).toBe(0)
    const dying = Float32Array.from({ length: 10 * RATE_HZ }, (_, i) => {
      const t = (i % (RATE_HZ / 10)) / RATE_HZ
      return Math.round(32768 * 0.5 * Math.exp(-t / 0.004) * Math.sin(1900 * t)) / 32768
    })
    expect(dying.filter((x) => x === 0).length).toBeGreaterThan(5 * RATE_HZ)
    expect(quiet(dying)).toBe(0)
    expect(quiet(new Float32Array(RATE_HZ))).toBe(0)
    expect(quiet(new Float32Array(0))).toBe(0)
  })
  it('counts nothing in sound of a few steps, nor in sound that is cut off turn by turn', () => {
    const coarse = CLIP.map((x) => Math.round(x * 12) / 128)
    expect(coarse.filter((x) => x === 0).length).toBeGreaterThan(CLIP.length / 10)
    expect(holesPerSecond(coarse, RATE_HZ)).toBe(0)
    // Pulses of 5 ms; every third turn makes none.
    const gated = CLIP.map((x, i) => ((i / 441) % 1 < 0.25 && Math.floor(i / 441) % 3 > 0 ? x : 0))
    expect(holesPerSecond(gated, RATE_HZ)).toBe(0)
  })
  it('counts more than eight a second, where they come at random', () => {
    for (const count of [80, 120, 200]) {
      const holed = withHoles(CLIP, count, 0.006, true)
      expect(holesPerSecond(holed, RATE_HZ)).toBeGreaterThan(8)
    }
  })
})

describe('a recording with holes', () => {
  it('is told from three on, however short it is', () => {
    const codes = (count: number) => {
      const samples = withHoles(CLIP.subarray(0, 2 * RATE_HZ), count, 0.008, true)
      return analyze({ samples, rateHz: RATE_HZ, notes: [] }).quality.hindrances.map(({ code }) => code)
    }
    expect(codes(2)).not.toContain('holes')
    expect(codes(4)[0]).toBe('holes')
  })
  it('is judged by all of it, in pieces as at once', async () => {
    const times = (sound: Float32Array, count: number) =>
      Float32Array.from({ length: count * sound.length }, (_, i) => sound[i % sound.length]!)
    const whole = times(CLIP, 20)
    const holed = times(withHoles(CLIP, 15, 0.008, false), 4)
    const told = async (...parts: readonly Float32Array[]) => {
      const blocks = parts.map((samples) => ({ channels: [samples], rateHz: RATE_HZ, notes: [] }))
      const { quality, score } = await analyzeStream(blocks)
      return [quality.hindrances[0]?.code, score.misfireRatio.value === null]
    }
    expect(await told(whole, holed)).toEqual([undefined, false])
    expect(await told(whole, holed, holed, holed)).toEqual(['holes', true])
  })
  it.each([true, false])('says so and tells no share (sound after a hole is late: %s)', (isLate) => {
    const samples = withHoles(CLIP, 15, 0.008, isLate)
    const analysis = analyze({ samples, rateHz: RATE_HZ, notes: [] })
    const { quality, score, segments } = analysis
    expect(quality.hindrances[0]).toMatchObject({ code: 'holes' })
    expect(quality.hindrances[0]!.message).toMatch(/every 0\.\d seconds/)
    const untold = { value: null, low: null, high: null }
    expect(score.steady).toMatchObject(untold)
    expect(scoreIfLonger(analysis, 10).steady).toMatchObject(untold)
    expect(loggedClip('holed.wav', analysis)).toBeNull()
    for (const { misfireRatio } of segments) if (misfireRatio) expect(misfireRatio).toMatchObject(untold)
  })
})
