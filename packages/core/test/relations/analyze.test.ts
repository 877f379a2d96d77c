import { readFileSync } from 'node:fs'
import {
  type Analysis,
  AnalysisError,
  analyze,
  decodeWav,
  earVersion,
  InputError,
  OptionError,
  type Recording,
  resample,
  SKIPPED,
  toRecording,
} from '@everyrev/core'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../src/math/random.js'
import { mean } from '../../src/math/stats.js'
import { makeEngine } from '../makeEngine.js'

/** Mean of the speed that the made-up engine wanders about. */
const MADE_RPM = 90 * 60
/** A cruise that fires every other turn for the most part, at about 4,700 rpm. */
const cruise = readFixture('cruise-needle-clip-2.wav')

function readFixture(name: string): Recording {
  return toRecording(decodeWav(readFileSync(new URL(`../../../../fixtures/${name}`, import.meta.url))))
}
const withSamples = (samples: Float32Array): Recording => ({ samples, rateHz: 16000, notes: [] })
function noise(n: number, size: number): Float32Array {
  const random = seededRandom(4)
  return Float32Array.from({ length: n }, () => size * (random() - 0.5))
}
/** Distance of the turn that begins nearest to a time, seconds. */
const distanceS = ({ revolutions }: Analysis, timeS: number) =>
  revolutions.timeS.reduce((least, t) => Math.min(least, Math.abs(t - timeS)), Infinity)
/** Crank speed at a time, rpm. */
const speedAt = ({ speed }: Analysis, timeS: number) =>
  speed.speedRpm[Math.round((timeS - speed.timeS[0]!) / (speed.timeS[1]! - speed.timeS[0]!))]!
/** The error a call ends with; fails when there is none of ours. */
function refusal(run: () => unknown): AnalysisError {
  try {
    run()
  } catch (error) {
    if (error instanceof AnalysisError) return error
    throw error
  }
  throw new Error('nothing was refused')
}

describe('misfire ratio of an engine made up turn by turn', () => {
  const heard = (_: string, fires: (turn: number) => boolean, wanted: number): void => {
    const { verdict, medianRpm, score } = analyze(makeEngine({ fires }))
    expect(verdict).toBe('measured')
    // The pulse opens in every turn, so half or double the speed would be a wrong answer.
    expect(Math.abs(medianRpm! / MADE_RPM - 1)).toBeLessThan(0.02)
    const { value, low, high } = score.misfireRatio
    expect(Math.abs(value! - wanted)).toBeLessThan(0.1)
    expect(low!).toBeLessThanOrEqual(wanted + 0.01)
    expect(high!).toBeGreaterThanOrEqual(wanted)
  }
  it.each([
    ['firing every turn', () => true, 0],
    ['a strict alternation', (turn: number) => turn % 2 === 0, 1 / 2],
    ['one turn in three firing', (turn: number) => turn % 3 === 0, 2 / 3],
    ['two turns in three firing', (turn: number) => turn % 3 !== 0, 1 / 3],
  ] as const)('%s', heard)
})

describe('relations of analyze', () => {
  const found = analyze(cruise)

  it('keeps every label under a gain of two', () => {
    const loud = analyze({ ...cruise, samples: cruise.samples.map((v) => 2 * v) })
    expect(new Set(found.revolutions.label)).toContain(SKIPPED)
    expect(loud.revolutions.label).toEqual(found.revolutions.label)
    expect(loud.quality.levelDbfs - found.quality.levelDbfs).toBeCloseTo(20 * Math.log10(2), 2)
  })
  it('moves times by a delay', () => {
    const delayS = 0.8
    const lead = noise(delayS * cruise.rateHz, 0.002)
    const samples = new Float32Array(lead.length + cruise.samples.length)
    samples.set(lead)
    samples.set(cruise.samples, lead.length)
    const late = analyze({ ...cruise, samples })
    expect(late.durationS - found.durationS).toBeCloseTo(delayS, 6)
    expect(Math.abs(late.medianRpm! / found.medianRpm! - 1)).toBeLessThan(0.005)
    for (let t = 0.5; t < 7; t += 0.25)
      expect(Math.abs(speedAt(late, t + delayS) / speedAt(found, t) - 1)).toBeLessThan(0.01)
    // To within a tenth of a turn, away from the ends.
    const inner = found.revolutions.timeS.filter((t) => t > 0.5 && t < 6.7)
    expect(inner.length).toBeGreaterThan(450)
    for (const t of inner) expect(distanceS(late, t + delayS)).toBeLessThan(0.1 * (60 / found.medianRpm!))
  })
  it.each([0.8, 1.25])('turns as much faster as it is played: %f times', (factor) => {
    const played = analyze({ ...cruise, rateHz: cruise.rateHz * factor })
    expect(Math.abs(played.medianRpm! / found.medianRpm! / factor - 1)).toBeLessThan(0.005)
    expect(played.durationS).toBeCloseTo(found.durationS / factor, 9)
    expect(Math.abs(played.revolutions.timeS.length - found.revolutions.timeS.length)).toBeLessThan(6)
  })
  it('hears the same engine at another sampling rate', () => {
    const samples = resample(cruise.samples, cruise.rateHz, 48_000)
    const high = analyze({ samples, rateHz: 48_000, notes: [] })
    expect(Math.abs(high.medianRpm! / found.medianRpm! - 1)).toBeLessThan(0.002)
    expect(Math.abs(high.score.misfireRatio.value! - found.score.misfireRatio.value!)).toBeLessThan(0.02)
  })
  it('says the same twice, and leaves the samples alone', () => {
    const before = cruise.samples.slice()
    expect(analyze(cruise)).toEqual(found)
    expect(cruise.samples).toEqual(before)
  })
  it('gives turns that follow one another within the recording', () => {
    const { timeS, durationS, stretch, speedRpm } = found.revolutions
    expect(timeS.length).toBeGreaterThan(500)
    timeS.forEach((t, n) => {
      if (n > 0 && stretch[n] === stretch[n - 1]) expect(t).toBeCloseTo(timeS[n - 1]! + durationS[n - 1]!, 9)
    })
    // The speed of a turn is a mean over the turns about it, so its own length tells it on the mean only.
    const counted = timeS.map((_, n) => (speedRpm[n]! * durationS[n]!) / 60)
    expect(Math.abs(mean(counted) - 1)).toBeLessThan(0.001)
    expect(timeS[0]!).toBeGreaterThanOrEqual(0)
    expect(timeS.at(-1)! + durationS.at(-1)!).toBeLessThanOrEqual(found.durationS)
  })
  it('neither loses nor moves an engine plainly heard by what was expected', () => {
    for (const expectRpm of [
      [3000, 6000],
      [8000, 12_000],
      [1000, 2000],
    ] as const) {
      const { verdict, medianRpm } = analyze(cruise, { expectRpm })
      expect(verdict).toBe('measured')
      expect(Math.abs(medianRpm! / found.medianRpm! - 1)).toBeLessThan(0.005)
    }
  })
  it('names the ear', () => {
    expect(found.earVersion).toBe(earVersion())
    expect(earVersion()).toMatch(/^\d+-[0-9a-f]{8}$/)
  })
})

describe('sound without an engine', () => {
  const nothing = { value: null, low: null, high: null, turns: 0 }

  it('is unusable when silent or all but silent', () => {
    for (const samples of [new Float32Array(32_000), noise(32_000, 1e-5)]) {
      const { verdict, reason, score, revolutions, medianRpm, speed } = analyze(withSamples(samples))
      expect([verdict, reason, medianRpm]).toEqual(['unusable', 'too-quiet', null])
      expect(score.misfireRatio).toEqual(nothing)
      expect(revolutions.timeS).toHaveLength(0)
      expect(speed.stretches).toEqual([])
      expect(speed.speedRpm.every(Number.isNaN)).toBe(true)
    }
  })
  it('is no engine when it is noise, a constant or a click', () => {
    const click = new Float32Array(32_000)
    click[9000] = 0.9
    for (const samples of [noise(48_000, 0.5), new Float32Array(32_000).fill(0.4), click]) {
      const { verdict, reason, engineProbability, score } = analyze(withSamples(samples))
      expect(verdict).toBe('no-engine')
      expect(reason).not.toBeNull()
      expect(engineProbability).toBeLessThan(0.5)
      expect(score.misfireRatio).toEqual(nothing)
    }
  })
  it('is an answer, not an error, when it is very short', () => {
    for (const n of [1, 2, 800]) expect(analyze(withSamples(noise(n, 0.5))).verdict).toBe('no-engine')
  })
})

describe('refusals', () => {
  const sound = withSamples(noise(4000, 0.5))

  it('asks for expected speeds with 600 ≤ low < high ≤ 20,000 rpm', () => {
    for (const expectRpm of [
      [599, 9000],
      [9000, 3000],
      [5000, 5000],
      [3000, 20001],
      [Number.NaN, 9000],
      [3000, Number.NaN],
      [3000, Infinity],
    ] as const) {
      const error = refusal(() => analyze(sound, { expectRpm }))
      expect(error).toBeInstanceOf(OptionError)
      expect(error.code).toBe('out-of-range')
      expect(error.message).toContain(String(expectRpm[0]))
    }
    expect(analyze(sound, { expectRpm: [600, 20000] }).verdict).toBe('no-engine')
  })
  it('names the sample that is no finite number', () => {
    for (const bad of [Number.NaN, Infinity, -Infinity]) {
      const samples = noise(4000, 0.5)
      samples[1234] = bad
      const error = refusal(() => analyze(withSamples(samples)))
      expect(error).toBeInstanceOf(InputError)
      expect(error.code).toBe('not-finite')
      expect(error.message).toContain('1234')
    }
  })
  it('refuses no samples and rates outside 4,000 to 384,000 Hz', () => {
    expect(refusal(() => analyze(withSamples(new Float32Array(0)))).code).toBe('no-samples')
    for (const rateHz of [0, 3999, 384001, Number.NaN])
      expect(refusal(() => analyze({ ...sound, rateHz })).code).toBe('unsupported-format')
  })
})
