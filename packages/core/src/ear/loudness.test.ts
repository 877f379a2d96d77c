import { describe, expect, test } from 'vitest'
import { LOUDNESS, louderAround, loudnessOf, makeProfiler, PROFILE } from './loudness.js'
import { makeTrack, type TurnRun } from './turnParts.js'

const RATE_HZ = 16000
const TURN = 160
const TURNS = 100
const run: TurnRun = {
  startS: Float64Array.from({ length: TURNS }, (_, n) => (n * TURN) / RATE_HZ),
  durationS: new Float64Array(TURNS).fill(TURN / RATE_HZ),
}
/** Every third turn: a burst of amplitude 3 in a sixteenth of the turn, else noise-free sound of amplitude 1. */
const isLoud = (turn: number): boolean => turn % 3 === 0
const soundWith = (firstShare: number): Float32Array =>
  Float32Array.from({ length: TURN * TURNS }, (_, i) => {
    const at = (i % TURN) / TURN - firstShare
    return (isLoud(Math.floor(i / TURN)) && at >= 0 && at < 1 / 16 ? 3 : 1) * (i % 2 ? 1 : -1)
  })

describe('loudness of the parts of turns', () => {
  test('is the logarithm of the mean power, of both sounds', () => {
    const quiet = makeTrack(
      soundWith(0.5).map((x) => x / 2),
      RATE_HZ,
    )
    const loudness = loudnessOf([makeTrack(soundWith(0.5), RATE_HZ), quiet], run)
    expect(loudness).toHaveLength(TURNS * LOUDNESS)
    // Half of the fifth part has power 9, the other half power 1.
    expect(loudness[4]).toBeCloseTo(Math.log(0.01 + 5), 5)
    expect(loudness[3]).toBeCloseTo(Math.log(0.01 + 1), 5)
    expect(loudness[8 + 4]).toBeCloseTo(Math.log(0.01 + 5 / 4), 5)
    expect(loudness[LOUDNESS + 4]).toBeCloseTo(Math.log(0.01 + 1), 5)
  })
  test('of parts between samples, by hand', () => {
    const track = makeTrack(Float32Array.of(1, 2, 3, 4), 1)
    const turn = { startS: Float64Array.of(0.5), durationS: Float64Array.of(2) }
    // Parts of a quarter of a sample each: the first two lie in the first sample.
    const powers = Array.from(loudnessOf([track], turn), (x) => Math.exp(x) - 0.01)
    ;[1, 1, 4, 4, 4, 4, 9, 9].forEach((power, part) => {
      expect(powers[part]).toBeCloseTo(power, 3)
    })
  })
  test.each([
    [0.02, 4, 'own first eighth'],
    [0.9, 11, 'own last eighth'],
  ])('goes with the loud turns where these are louder: burst at %f of the turn', (share, part) => {
    const track = makeTrack(soundWith(share), RATE_HZ)
    const profile = makeProfiler(louderAround(loudnessOf([track, track], run)))(
      Array.from({ length: TURNS }, (_, n) => (isLoud(n) ? 1 : 0)),
    )
    expect(profile).toHaveLength(PROFILE)
    expect(profile.slice(0, 16).indexOf(Math.max(...profile.slice(0, 16)))).toBe(part)
    expect(profile[part]).toBeGreaterThan(0.9)
    expect(profile[16 + part]).toBeCloseTo(profile[part]!, 5)
  })
  test('a burst in the turn before shows there', () => {
    const track = makeTrack(soundWith(0.9), RATE_HZ)
    const after = Array.from({ length: TURNS }, (_, n) => (isLoud(n - 1) ? 1 : 0))
    const profile = makeProfiler(louderAround(loudnessOf([track, track], run)))(after)
    expect(profile.slice(0, 16).indexOf(Math.max(...profile.slice(0, 16)))).toBe(3)
  })
  test('silence, a single turn, and turns that begin before the sound or end behind it give finite numbers', () => {
    const track = makeTrack(new Float32Array(400), RATE_HZ)
    const around = {
      startS: Float64Array.of(-0.005, 0.005, 0.02),
      durationS: Float64Array.of(0.01, 0.015, 0.015),
    }
    const single = { startS: Float64Array.of(0.001), durationS: Float64Array.of(0.01) }
    for (const turns of [around, single]) {
      const loudness = loudnessOf([track, track], turns)
      const profile = makeProfiler(louderAround(loudness))(new Float32Array(turns.startS.length))
      for (const x of [...loudness, ...profile]) expect(Number.isFinite(x)).toBe(true)
    }
    expect(loudnessOf([track, track], single)[3]).toBeCloseTo(Math.log(0.01), 6)
  })
})
