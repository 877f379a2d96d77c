import { describe, expect, it } from 'vitest'
import type { BandSignal } from '../bands/index.js'
import { settleOctave } from './octave.js'
import { partDepthDb } from './octaveDepth.js'

const RATE_HZ = 4000
const DURATION_S = 3

/** Damped pulses of 700 Hz, `hz` times a second, whose strengths go round in `strengths`. */
function pulses(hz: number, strengths: readonly number[]): BandSignal {
  const values = new Float32Array(RATE_HZ * DURATION_S)
  for (let i = 0; i < values.length; i++) {
    const phase = (i / RATE_HZ) * hz
    const strength = strengths[Math.floor(phase) % strengths.length]!
    const t = (phase % 1) / hz
    values[i] = strength * Math.exp(-t * 500) * Math.sin(2 * Math.PI * 700 * t)
  }
  return { band: { lowHz: 500, highHz: 1500, form: 'wave' }, rateHz: RATE_HZ, values }
}
const startsAt = (hz: number) =>
  Float64Array.from({ length: Math.floor(DURATION_S * hz) - 1 }, (_, n) => n / hz)

describe('partDepthDb', () => {
  it('is high for one pulse a turn and low for two that differ in strength alone', () => {
    const single = partDepthDb([pulses(50, [1])], startsAt(50), 2)!
    const double = partDepthDb([pulses(100, [1, 0.6])], startsAt(50), 2)!
    expect(single).toBeGreaterThan(-0.5)
    expect(double).toBeLessThan(-6)
  })
  it('follows strengths a and b as ((a − b)/(a + b))²', () => {
    const depth = partDepthDb([pulses(100, [1, 0.5])], startsAt(50), 2)!
    expect(depth).toBeCloseTo(20 * Math.log10(0.5 / 1.5), 0)
  })
  it('tells nothing from a few turns', () => {
    expect(partDepthDb([pulses(50, [1])], startsAt(50).subarray(0, 6), 2)).toBeNull()
  })
})

describe('settleOctave', () => {
  const run = (hz: number, candidates: readonly (readonly [number, number])[]) => ({
    timeS: Float64Array.from({ length: 140 }, (_, k) => k * 0.02),
    speedHz: new Float64Array(140).fill(hz),
    candidates: candidates.map(([factor, evidence]) => ({ factor, evidence })),
  })
  const settle = (sound: BandSignal, hz: number, candidates: readonly (readonly [number, number])[]) =>
    settleOctave(run(hz, candidates), [sound], [sound])

  it('raises half the speed of an engine that skips every other turn', () => {
    expect(
      settle(pulses(100, [1, 0.5]), 50, [
        [1, 0.9],
        [2, 0.6],
      ]).factor,
    ).toBe(2)
  })
  it('lowers twice the speed of a clean engine, and leaves the right one', () => {
    const clean = pulses(50, [1])
    expect(
      settle(clean, 100, [
        [1, 0.6],
        [0.5, 0.5],
      ]).factor,
    ).toBe(0.5)
    expect(
      settle(clean, 50, [
        [1, 0.6],
        [2, 0.6],
      ]).factor,
    ).toBe(1)
  })
  it('never moves to a speed that is no candidate', () => {
    const verdict = settle(pulses(100, [1, 0.5]), 50, [[1, 0.9]])
    expect(verdict).toEqual({ factor: 1, rival: null })
  })
  it('names the other reading where the depth lies between', () => {
    // ((1 − 0.03)/(1 + 0.03))² is -0.5 dB: one strong and one faint pulse can be a turn or two.
    const { factor, rival } = settle(pulses(100, [1, 0.03]), 50, [
      [1, 0.6],
      [2, 0.6],
    ])
    expect(factor * rival!.factor).toBe(factor === 1 ? 2 : 1)
    expect(rival!.logOdds).toBeGreaterThan(-1.5)
  })
})
