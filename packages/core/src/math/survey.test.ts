import { describe, expect, it } from 'vitest'
import { seededRandom } from './random.js'
import { CHUNK, surveySound } from './survey.js'

describe('surveySound', () => {
  it.each([1, 3, CHUNK, CHUNK + 1, 70 * CHUNK + 5])('of %i samples, one by one', (n) => {
    const random = seededRandom(n)
    const sound = Float32Array.from({ length: n }, () => 1.2 * random() - 0.5)
    const { low, high, meanSquare, peaks } = surveySound(sound)
    expect(low).toBe(sound.reduce((a, b) => Math.min(a, b), Infinity))
    expect(high).toBe(sound.reduce((a, b) => Math.max(a, b), -Infinity))
    expect(meanSquare).toBeCloseTo(sound.reduce((sum, x) => sum + x * x, 0) / n, 9)
    expect(peaks).toHaveLength(Math.ceil(n / CHUNK))
    peaks.forEach((peak, k) => {
      const part = sound.subarray(k * CHUNK, (k + 1) * CHUNK)
      expect(peak).toBe(part.reduce((a, b) => Math.max(a, Math.abs(b)), 0))
    })
  })
  it.each([Number.NaN, Infinity, -Infinity])('is not finite with a %d anywhere', (odd) => {
    for (const at of [0, 7, CHUNK, 2 * CHUNK + 9]) {
      const sound = new Float32Array(2 * CHUNK + 10)
      sound[at] = odd
      expect(Number.isFinite(surveySound(sound).meanSquare)).toBe(false)
    }
  })
  it('takes nothing', () => {
    expect(surveySound(new Float32Array(0)).low).toBe(Infinity)
  })
})
