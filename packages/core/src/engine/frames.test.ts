import { describe, expect, it } from 'vitest'
import { MAX_FRAMES, measureFrames } from './frames.js'

function sine(rateHz: number, seconds: number, hz: number): Float32Array {
  return Float32Array.from({ length: Math.round(rateHz * seconds) }, (_, i) =>
    Math.sin((2 * Math.PI * hz * i) / rateHz),
  )
}

describe('measureFrames', () => {
  it.each([8000, 16_000, 44_100, 48_000, 96_000])(
    'gives a unit sine its mean square of 1/2 at %i Hz',
    (rateHz) => {
      const frames = measureFrames(sine(rateHz, 0.5, 1000), rateHz)
      expect(frames.frameS).toBeGreaterThan(0.03)
      expect(frames.frameS).toBeLessThan(0.07)
      for (const power of frames.spectra) {
        expect(power!.reduce((sum, value) => sum + value, 0)).toBeCloseTo(0.5, 2)
        const peak = power!.indexOf(Math.max(...power!))
        expect(Math.abs(peak * frames.binHz - 1000)).toBeLessThanOrEqual(frames.binHz)
      }
    },
  )
  it('has null for silence instead of NaN', () => {
    const frames = measureFrames(new Float32Array(44_100), 44_100)
    expect(frames.spectra.length).toBeGreaterThan(10)
    expect(frames.spectra.every((power) => power === null)).toBe(true)
  })
  it('has no frames of less than one', () => {
    expect(measureFrames(new Float32Array(100), 44_100).spectra).toEqual([])
  })
  it('looks at no more than 150 frames, in rows over the whole length', () => {
    const frames = measureFrames(sine(8000, 60, 300), 8000)
    expect(frames.spectra).toHaveLength(MAX_FRAMES)
    expect(frames.groups).toEqual([0, 30, 60, 90, 120])
    expect(frames.timeS[0]).toBe(0)
    expect(frames.timeS.at(-1)! + frames.frameS).toBeGreaterThan(59.8)
    const gaps = [...frames.timeS].slice(1).map((time, i) => time - frames.timeS[i]!)
    expect(gaps.filter((gap) => gap > 1.5 * frames.frameS)).toHaveLength(4)
  })
})
