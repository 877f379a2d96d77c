import { describe, expect, it } from 'vitest'
import type { BandSignal } from '../bands/filterBank.js'
import { cutTurns } from './cut.js'

const signal = (rateHz: number, n: number, at: (timeS: number) => number): BandSignal => ({
  band: { lowHz: 30, highHz: 250, form: 'wave' },
  rateHz,
  values: Float32Array.from({ length: n }, (_, i) => at(i / rateHz)),
})
const even = (turns: number, lengthS: number, fromS = 0) =>
  Float64Array.from({ length: turns + 1 }, (_, n) => fromS + n * lengthS)

describe('cutTurns', () => {
  it('takes the points at the middles of equal parts of a turn', () => {
    // The signal is its own time, so a point tells when it was taken.
    const { values, points, turns } = cutTurns(
      signal(1000, 2000, (t) => t),
      even(10, 0.1, 0.2),
      8,
    )
    expect([points, turns]).toEqual([8, 10])
    for (let n = 1; n < 9; n++)
      for (let p = 0; p < 8; p++) expect(values[n * 8 + p]).toBeCloseTo(0.2 + (n + (p + 0.5) / 8) * 0.1, 6)
  })
  it('gives the same row for every turn of a sound locked to the crank, also when the speed changes', () => {
    // Crank angle 40 t + 6 t² turns: speed from 40 to 64 Hz over two seconds.
    const angle = (t: number) => 40 * t + 6 * t * t
    const startS = Float64Array.from({ length: 90 }, (_, n) => (-40 + Math.sqrt(1600 + 24 * (n + 2))) / 12)
    const { values, turns } = cutTurns(
      signal(8000, 17_000, (t) => Math.sin(2 * Math.PI * 3 * angle(t))),
      startS,
      32,
    )
    for (let n = 2; n < turns - 2; n++)
      for (let p = 0; p < 32; p++)
        expect(Math.abs(values[n * 32 + p]! - Math.sin((2 * Math.PI * 3 * (p + 0.5)) / 32))).toBeLessThan(
          0.005,
        )
  })
  it('gives the same rows at any rate of the signal and scales with it', () => {
    const at = (t: number) => Math.sin(2 * Math.PI * 35 * t)
    const slow = cutTurns(signal(2000, 1000, at), even(8, 0.04, 0.05), 16).values
    const fast = cutTurns(signal(8000, 4000, at), even(8, 0.04, 0.05), 16).values
    const loud = cutTurns(
      signal(2000, 1000, (t) => 4 * at(t)),
      even(8, 0.04, 0.05),
      16,
    ).values
    slow.forEach((v, i) => {
      expect(Math.abs(v - fast[i]!)).toBeLessThan(0.002)
      expect(loud[i]).toBeCloseTo(4 * v, 5)
    })
  })
  it('holds the end values where turns reach beyond the signal', () => {
    const { values } = cutTurns(
      signal(1000, 100, (t) => 5 + t),
      even(4, 0.1, -0.2),
      4,
    )
    expect([...values.subarray(0, 7)]).toEqual(new Array(7).fill(5))
    expect([...values.subarray(13)]).toEqual(new Array(3).fill(Math.fround(5.099)))
  })
  it('takes one turn, none, one sample and silence', () => {
    expect(
      cutTurns(
        signal(1000, 100, () => 2),
        even(1, 0.05),
        4,
      ),
    ).toMatchObject({
      turns: 1,
      values: Float32Array.of(2, 2, 2, 2),
    })
    expect(
      cutTurns(
        signal(1000, 100, () => 2),
        even(0, 0.05),
        4,
      ),
    ).toMatchObject({ turns: 0, values: new Float32Array(0) })
    expect([
      ...cutTurns(
        signal(1000, 1, () => 3),
        even(2, 0.05),
        2,
      ).values,
    ]).toEqual([3, 3, 3, 3])
    expect(
      new Set(
        cutTurns(
          signal(1000, 500, () => 0),
          even(5, 0.05),
          8,
        ).values,
      ),
    ).toEqual(new Set([0]))
  })
  it('keeps a sample that is no number to the points around it', () => {
    const broken = signal(1000, 400, () => 1)
    broken.values[146] = Number.NaN
    const { values } = cutTurns(broken, even(3, 0.1, 0.02), 10)
    const bad = Array.from(values.keys()).filter((i) => Number.isNaN(values[i]!))
    expect(bad).not.toHaveLength(0)
    // Point i lies at 25 + 10 i ms, and interpolation reaches two samples.
    for (const i of bad) expect(Math.abs(25 + 10 * i - 146)).toBeLessThanOrEqual(2)
  })
})
