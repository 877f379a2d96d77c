import { describe, expect, it } from 'vitest'
import type { BandSignal } from '../bands/filterBank.js'
import { hannSmooth, turnStarts } from './grid.js'

const RATE_HZ = 8000
const DURATION_S = 3
const HOP_S = 0.02

/** A ring at every turn of the crank angle (turns at a time), whose strengths and delays go round; and its rectified form. */
function bands(
  angle: (timeS: number) => number,
  strengths: readonly number[],
  latesS: readonly number[] = [0],
): BandSignal[] {
  const n = RATE_HZ * DURATION_S
  const values = new Float32Array(n)
  let openedS = 0
  let turn = -1
  for (let i = 0; i < n; i++) {
    const t = i / RATE_HZ
    if (Math.floor(angle(t)) > turn) {
      turn = Math.floor(angle(t))
      openedS = t
    }
    const s = t - openedS - latesS[Math.max(0, turn) % latesS.length]!
    if (s < 0) continue
    values[i] =
      strengths[Math.max(0, turn) % strengths.length]! * Math.exp(-300 * s) * Math.sin(2 * Math.PI * 400 * s)
  }
  return [
    { band: { lowHz: 150, highHz: 600, form: 'wave' }, rateHz: RATE_HZ, values },
    { band: { lowHz: 250, highHz: 500, form: 'envelope' }, rateHz: RATE_HZ, values: values.map(Math.abs) },
  ]
}
const times = Float64Array.from({ length: DURATION_S / HOP_S }, (_, k) => k * HOP_S)
/** Largest distance, turns, of the starts' crank angle from a fixed place in the turn, away from the ends. */
function unsteadiness(startS: Float64Array, angle: (timeS: number) => number): number {
  const phases = Array.from(startS.subarray(6, -6), (t, n) => angle(t) - n)
  const middle = [...phases].sort((a, b) => a - b)[phases.length >> 1]!
  return Math.max(...phases.map((p) => Math.abs(p - middle)))
}

describe('turnStarts', () => {
  const steady = (t: number) => 50 * t

  it('keeps an exact curve in step with the sound', () => {
    const starts = turnStarts(
      times,
      times.map(() => 50),
      bands(steady, [1]),
    )
    expect(unsteadiness(starts, steady)).toBeLessThan(0.01)
    expect(Math.abs(starts.length - DURATION_S * 50)).toBeLessThan(4)
  })
  it.each([0.99, 1.01])(
    'corrects a curve that reads %d of the speed: no turn too many or too few',
    (factor) => {
      const starts = turnStarts(
        times,
        times.map(() => 50 * factor),
        bands(steady, [1]),
      )
      expect(unsteadiness(starts, steady)).toBeLessThan(0.03)
    },
  )
  it.each([
    ['every other turn', [1, 0.15]],
    ['every third turn', [1, 0.15, 0.15]],
    ['two of three turns', [1, 1, 0.15]],
  ])('stays in step when %s is loud', (_, strengths) => {
    const starts = turnStarts(
      times,
      times.map(() => 50.4),
      bands(steady, strengths),
    )
    expect(unsteadiness(starts, steady)).toBeLessThan(0.03)
  })
  it.each([
    ['every other turn', [1, 1], [0, 0.002]],
    ['every third turn', [1, 0.8, 0.8], [0, 0.002, 0.002]],
  ])('does not follow a pulse that is a tenth of a turn late in all but %s', (_, strengths, latesS) => {
    const starts = turnStarts(
      times,
      times.map(() => 50),
      bands(steady, strengths, latesS),
    )
    expect(unsteadiness(starts, steady)).toBeLessThan(0.01)
  })
  it('follows a speed that rises, from a curve that lags behind', () => {
    const angle = (t: number) => 40 * t + 6 * t * t
    const starts = turnStarts(
      times,
      times.map((t) => 40 + 12 * (t - 0.03)),
      bands(angle, [1]),
    )
    // The ring lasts its time, not its angle: from 40 to 76 Hz its middle moves by up to 36 / 300 of a turn.
    expect(unsteadiness(starts, angle)).toBeLessThan(0.06)
  })
  it('rises strictly and stays within the curve', () => {
    const starts = turnStarts(
      times,
      times.map((t) => 50 + 5 * Math.sin(9 * t)),
      bands(steady, [1, 0.3]),
    )
    for (let n = 1; n < starts.length; n++) expect(starts[n]!).toBeGreaterThan(starts[n - 1]!)
    expect(starts[0]!).toBeGreaterThanOrEqual(-0.02)
    expect(starts.at(-1)!).toBeLessThanOrEqual(DURATION_S)
  })
  it('follows the curve alone in silence, from its own first time on', () => {
    const silent = bands(steady, [0])
    const starts = turnStarts(
      times.map((t) => 0.5 + t / 2),
      times.map(() => 80),
      silent,
    )
    expect(starts[0]).toBeCloseTo(0.5, 9)
    for (let n = 1; n < starts.length; n++) expect(starts[n]! - starts[n - 1]!).toBeCloseTo(1 / 80, 6)
  })
  it('gives nothing for fewer than three turns', () => {
    expect(
      turnStarts(Float64Array.of(0, 0.02, 0.04), Float64Array.of(50, 50, 50), bands(steady, [1])),
    ).toHaveLength(0)
    expect(turnStarts(Float64Array.of(0.3), Float64Array.of(50), bands(steady, [1]))).toHaveLength(0)
    expect(turnStarts(new Float64Array(0), new Float64Array(0), bands(steady, [1]))).toHaveLength(0)
  })
})

describe('hannSmooth', () => {
  it('leaves what is constant and, inside, what is straight', () => {
    for (const v of hannSmooth(new Float64Array(20).fill(3), 6)) expect(v).toBeCloseTo(3, 12)
    const line = hannSmooth(
      Float64Array.from({ length: 30 }, (_, i) => 2 * i),
      6,
    )
    for (let i = 3; i < 27; i++) expect(line[i]).toBeCloseTo(2 * i, 9)
  })
  it.each([2, 3])('is blind to a period of %i under six turns', (period) => {
    // A Hann window of length 6 has its zeros at 2/6, 3/6 … of a cycle a turn.
    const x = Float64Array.from({ length: 40 }, (_, i) => (i % period === 0 ? period - 1 : -1))
    for (const v of hannSmooth(x, 6).subarray(3, 37)) expect(v).toBeCloseTo(0, 9)
  })
  it('takes one value and none', () => {
    expect([...hannSmooth(Float64Array.of(5), 6)]).toEqual([5])
    expect(hannSmooth(new Float64Array(0), 6)).toHaveLength(0)
  })
})
