import {
  AnalysisError,
  analyze,
  FIRED,
  InputError,
  OptionError,
  type Recording,
  SKIPPED,
} from '@everyrev/core'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../src/math/random.js'
import { type EngineWish, makeEngine } from '../makeEngine.js'

/** Mean of the speed that the made-up engine wanders about. */
const MADE_RPM = 90 * 60
const always = (): boolean => true
const everyOther = (turn: number): boolean => turn % 2 === 0
/** Even up to the 180th turn, about 2 s, then an alternation. */
const changing: EngineWish = { fires: (turn) => turn < 180 || turn % 2 === 0 }

const analyzeEngine = (wish: EngineWish) => analyze(makeEngine(wish))
const withSamples = (samples: Float32Array): Recording => ({ samples, rateHz: 16000, notes: [] })
function noise(n: number, size: number): Float32Array {
  const random = seededRandom(4)
  return Float32Array.from({ length: n }, () => size * (random() - 0.5))
}
/** Start of the first turn called skipped. */
const firstSkipS = ({ revolutions }: ReturnType<typeof analyze>) =>
  revolutions.timeS[revolutions.label.indexOf(SKIPPED)]!
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
  it.each([
    ['firing every turn', always, 0],
    ['a strict alternation', everyOther, 1 / 2],
    ['one turn in three firing', (turn: number) => turn % 3 === 0, 2 / 3],
    ['two turns in three firing', (turn: number) => turn % 3 !== 0, 1 / 3],
  ] as const)('%s', (_, fires, wanted) => {
    const { verdict, medianRpm, score } = analyzeEngine({ fires })
    expect(verdict).toBe('measured')
    // The pulse opens in every turn, so half or double the speed would be a wrong answer.
    expect(Math.abs(medianRpm! / MADE_RPM - 1)).toBeLessThan(0.02)
    const { value, low, high } = score.misfireRatio
    expect(Math.abs(value! - wanted)).toBeLessThan(0.03)
    expect(low!).toBeLessThanOrEqual(wanted + 0.01)
    expect(high!).toBeGreaterThanOrEqual(wanted)
  })
})

describe('relations of analyze', () => {
  const plain = makeEngine(changing)
  const found = analyze(plain)

  it('keeps every label under a gain of two', () => {
    const loud = analyze({ ...plain, samples: plain.samples.map((v) => 2 * v) })
    expect(new Set(found.revolutions.label)).toContain(SKIPPED)
    expect(loud.revolutions.label).toEqual(found.revolutions.label)
    expect(loud.quality.levelDbfs - found.quality.levelDbfs).toBeCloseTo(20 * Math.log10(2), 2)
  })
  it('moves times by a delay', () => {
    const delayS = 0.8
    const lead = noise(delayS * 16000, 0.01)
    const samples = new Float32Array(lead.length + plain.samples.length)
    samples.set(lead)
    samples.set(plain.samples, lead.length)
    const late = analyze({ ...plain, samples })
    expect(late.durationS - found.durationS).toBeCloseTo(delayS, 6)
    // To within two turns: where a run begins, and with it the first turn, is known to a frame of 20 ms.
    expect(Math.abs(firstSkipS(late) - firstSkipS(found) - delayS)).toBeLessThan(2 / 90)
    expect(Math.abs(late.medianRpm! / found.medianRpm! - 1)).toBeLessThan(0.005)
    const at = (timeS: number, { speed }: typeof found) => speed.speedRpm[Math.round(timeS / 0.02)]!
    for (let t = 0.5; t < 3.5; t += 0.25)
      expect(Math.abs(at(t + delayS, late) / at(t, found) - 1)).toBeLessThan(0.01)
  })
  it('halves the speed when played at half the rate, and doubles the times', () => {
    const slow = analyze({ ...plain, rateHz: plain.rateHz / 2 })
    expect(Math.abs(slow.medianRpm! / found.medianRpm! - 0.5)).toBeLessThan(0.005)
    expect(slow.durationS).toBeCloseTo(2 * found.durationS, 9)
    expect(Math.abs(firstSkipS(slow) - 2 * firstSkipS(found))).toBeLessThan(4 / 45)
  })
  it('finds the turn from which an engine skips', () => {
    // Turn 180 of the angle the sound is made from lies at about 180 / 90 s.
    expect(Math.abs(firstSkipS(found) - 2)).toBeLessThan(0.06)
    const before = found.revolutions.label.subarray(0, 170)
    expect(before.every((label) => label === FIRED)).toBe(true)
  })
  it('hears the same engine at another sampling rate', () => {
    const wish = { fires: everyOther, durationS: 3 }
    const low = analyzeEngine(wish)
    const high = analyzeEngine({ ...wish, rateHz: 44100 })
    expect(Math.abs(high.medianRpm! / low.medianRpm! - 1)).toBeLessThan(0.005)
    expect(Math.abs(high.score.misfireRatio.value! - low.score.misfireRatio.value!)).toBeLessThan(0.02)
  })
  it('says the same twice, and leaves the samples alone', () => {
    const short = makeEngine({ fires: everyOther, durationS: 1.5 })
    const before = short.samples.slice()
    const once = analyze(short)
    expect(analyze(short)).toEqual(once)
    expect(short.samples).toEqual(before)
  })
  it('gives turns that follow one another within the recording', () => {
    const { timeS, durationS, stretch, speedRpm } = found.revolutions
    expect(timeS.length).toBeGreaterThan(300)
    timeS.forEach((t, n) => {
      expect(speedRpm[n]! * durationS[n]!).toBeCloseTo(60, 6)
      if (n > 0 && stretch[n] === stretch[n - 1]) expect(t).toBeCloseTo(timeS[n - 1]! + durationS[n - 1]!, 9)
    })
    expect(timeS.at(-1)! + durationS.at(-1)!).toBeLessThanOrEqual(found.durationS)
  })
  it('looks for the speed between the speeds expected', () => {
    const clean = makeEngine({ fires: always, durationS: 2 })
    const within = analyze(clean, { expectRpm: [4000, 8000] })
    expect(Math.abs(within.medianRpm! / MADE_RPM - 1)).toBeLessThan(0.03)
    // Told wrongly, it has to take a multiple.
    const double = analyze(clean, { expectRpm: [8000, 12000] })
    expect(Math.abs(double.medianRpm! / MADE_RPM - 2)).toBeLessThan(0.05)
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
