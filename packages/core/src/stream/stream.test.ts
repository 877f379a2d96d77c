import { describe, expect, it } from 'vitest'
import { simulate } from '../../../../scripts/simulate/index.js'
import { type Leg, recordCruise } from '../../../../scripts/simulate/story.js'
import { analyze } from '../analyze.js'
import { toRecording } from '../decode/downmix.js'
import type { DecodedAudio } from '../decode/types.js'
import { labelRevolutions } from '../revolutions/index.js'
import { analyzeStream } from './index.js'
import { joinPieces, type Piece } from './join.js'

const RATE_HZ = 16_000
const MINUTE = (() => {
  const states = ['alternate', 'clean', 'two-of-three'] as const
  const legs = Array.from({ length: 40 }, (_, k): Leg => [states[k % 3]!, 1.5])
  return simulate({ ...recordCruise('stream', 60, 77, legs), rateHz: RATE_HZ }, 3).samples
})()

/** Sound in blocks of odd length. */
function* blocks(channels: readonly Float32Array[], size = 41_234): Iterable<DecodedAudio> {
  for (let at = 0; at < channels[0]!.length; at += size)
    yield { channels: channels.map((samples) => samples.subarray(at, at + size)), rateHz: RATE_HZ, notes: [] }
}

function repeated(times: number): Float32Array {
  const out = new Float32Array(times * MINUTE.length)
  for (let k = 0; k < times; k++) out.set(MINUTE, k * MINUTE.length)
  return out
}

describe('analyzeStream', () => {
  it('gives for a short clip what analyze gives, to the last digit', async () => {
    const samples = MINUTE.subarray(0, 10 * RATE_HZ)
    const whole = analyze(toRecording({ channels: [samples], rateHz: RATE_HZ, notes: [] }))
    const { recording, ...stream } = await analyzeStream(blocks([samples]))
    expect({ ...stream, recording: { ...recording, samples } }).toEqual({
      ...whole,
      recording: { ...whole.recording, samples },
    })
    expect(recording.samples).toEqual(samples)
  })

  it('joins the pieces of a long clip turn by turn: none lost, none twice, the same share', {
    timeout: 300_000,
  }, async () => {
    const samples = repeated(3).subarray(0, 150 * RATE_HZ)
    const whole = analyze({ samples, rateHz: RATE_HZ, notes: [] })
    const stream = await analyzeStream(blocks([samples, samples.map((x) => -x)]))
    expect(stream.recording.notes.map(({ code }) => code)).toEqual(['channel-choice', 'in-pieces'])
    expect(stream.durationS).toBe(whole.durationS)
    const { timeS, durationS, stretch } = stream.revolutions
    expect(Math.abs(timeS.length - whole.revolutions.timeS.length)).toBeLessThanOrEqual(3)
    for (let n = 1; n < timeS.length; n++) {
      expect(timeS[n]).toBeGreaterThan(timeS[n - 1]!)
      // Neighbouring turns meet within half a turn, at the joins too.
      expect(Math.abs(timeS[n]! - timeS[n - 1]! - durationS[n - 1]!)).toBeLessThan(durationS[n]! / 2)
    }
    expect(stream.speed.stretches).toHaveLength(whole.speed.stretches.length)
    expect(stream.speed.timeS.length).toBe(whole.speed.timeS.length)
    expect(Math.max(...stretch)).toBe(stream.speed.stretches.length - 1)
    expect(Math.abs(stream.score.steady.value! - whole.score.steady.value!)).toBeLessThan(0.03)
    expect(Math.abs(stream.medianRpm! - whole.medianRpm!)).toBeLessThan(10)
    expect(Math.abs(stream.quality.levelDbfs - whole.quality.levelDbfs)).toBeLessThan(0.2)
  })

  it('hears an engine that starts and stops within a long silence, at its times', async () => {
    const samples = new Float32Array(200 * RATE_HZ)
    samples.set(MINUTE.subarray(0, 20 * RATE_HZ), 83 * RATE_HZ) // heard by two pieces
    const { revolutions, segments, verdict } = await analyzeStream(blocks([samples]))
    expect(verdict).toBe('measured')
    // In digital silence a run may reach into it for up to a second.
    expect(Math.abs(revolutions.timeS[0]! - 83)).toBeLessThan(1)
    expect(Math.abs(revolutions.timeS.at(-1)! - 103)).toBeLessThan(1)
    expect(segments[0]!.kind).toBe('stopped')
    expect(segments.at(-1)!.kind).toBe('stopped')
  })

  it('refuses a file whose rate changes, and one without sound', async () => {
    const first = { channels: [MINUTE], rateHz: RATE_HZ, notes: [] }
    await expect(analyzeStream([first, { ...first, rateHz: 8_000 }])).rejects.toMatchObject({
      code: 'unreadable',
    })
    await expect(analyzeStream([])).rejects.toMatchObject({ code: 'no-samples' })
  })
})

describe('joinPieces', () => {
  it('takes neither of two readings for certain where pieces read different multiples', () => {
    const { speed, revolutions } = joinPieces([piece(0, 80), piece(90, 40)], 180)
    expect(speed.stretches).toHaveLength(2)
    expect(speed.stretches.map(({ ambiguous }) => ambiguous)).toEqual([true, true])
    expect(speed.stretches[0]!.alternativeFactor).toBeCloseTo(0.5, 3)
    expect(speed.stretches[1]!.alternativeFactor).toBeCloseTo(2, 3)
    expect([...new Set(revolutions.stretch)]).toEqual([0, 1])
  })

  it('makes one stretch of two that read the same', () => {
    const { speed, revolutions } = joinPieces([piece(0, 80), piece(90, 80)], 180)
    expect(speed.stretches).toMatchObject([{ startS: 0, endS: 180, ambiguous: false }])
    expect(revolutions.timeS.length).toBe(180 * 80)
  })
})

/** A piece of 90 s and its neighbourhood in which the crank turns evenly. */
function piece(fromS: number, speedHz: number): Piece {
  const startS = Math.max(0, fromS - 5)
  const endS = fromS === 0 ? 95 : 180
  const turns = Math.round((endS - startS) * speedHz)
  const frames = Math.round((endS - startS) * 50) + 1
  const empty = labelRevolutions([])
  const same = (value: number) => new Float32Array(turns).fill(value)
  return {
    fromS,
    toS: fromS + 90,
    engine: 1,
    power: 0.01,
    quality: {
      score: 1,
      levelDbfs: -20,
      peakDbfs: -3,
      clippedRatio: 0,
      bandwidthHz: 8_000,
      pulseToNoiseDb: 10,
      hindrances: [],
    },
    speed: {
      timeS: Float64Array.from({ length: frames }, (_, k) => startS + k / 50),
      speedRpm: new Float64Array(frames).fill(60 * speedHz),
      salience: new Float32Array(frames).fill(1),
      stretches: [{ startS, endS, ambiguous: false, alternativeFactor: null, confidence: 1 }],
    },
    revolutions: {
      ...empty,
      timeS: Float64Array.from({ length: turns }, (_, n) => startS + n / speedHz),
      durationS: new Float64Array(turns).fill(1 / speedHz),
      speedRpm: new Float64Array(turns).fill(60 * speedHz),
      label: new Uint8Array(turns),
      firedProbability: same(1),
      firedLow: same(1),
      firedHigh: same(1),
      pattern: new Uint8Array(turns),
      level: same(0.1),
      stretch: new Int32Array(turns),
      reliability: same(1),
    },
  }
}
