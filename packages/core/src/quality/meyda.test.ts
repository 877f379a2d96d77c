import { describe, expect, it } from 'vitest'
import { MAX_FRAMES, measureFrames } from './meyda.js'

function sine(rateHz: number, seconds: number, hz: number): Float32Array {
  return Float32Array.from({ length: Math.round(rateHz * seconds) }, (_, i) =>
    Math.sin((2 * Math.PI * hz * i) / rateHz),
  )
}

describe('measureFrames', () => {
  it.each([8000, 16_000, 44_100, 48_000, 96_000])(
    'gives a unit sine its mean square of 1/2 at %i Hz',
    (rateHz) => {
      const frames = measureFrames(sine(rateHz, 0.5, 1000), rateHz, ['powerSpectrum'])
      expect(frames.frameS).toBeGreaterThan(0.03)
      expect(frames.frameS).toBeLessThan(0.07)
      for (const values of frames.values) {
        const power = values!.powerSpectrum!
        expect(power.reduce((sum, value) => sum + value, 0)).toBeCloseTo(0.5, 2)
        const peak = power.indexOf(Math.max(...power))
        expect(Math.abs(peak * frames.binHz - 1000)).toBeLessThanOrEqual(frames.binHz)
      }
    },
  )
  it('does not carry the banks of one rate over to the next', () => {
    const tone = sine(44_100, 0.2, 2000)
    const before = measureFrames(tone, 44_100, ['mfcc']).values[0]!.mfcc
    measureFrames(tone, 22_050, ['mfcc'])
    expect(measureFrames(tone, 44_100, ['mfcc']).values[0]!.mfcc).toEqual(before)
    // 32 and 44.1 kHz share the frame length of 2,048, the case the library itself would not notice.
    expect(measureFrames(tone, 32_000, ['mfcc']).length).toBe(2048)
    expect(measureFrames(tone, 32_000, ['mfcc']).values[0]!.mfcc).not.toEqual(before)
  })
  it('has null for silence instead of NaN', () => {
    const frames = measureFrames(new Float32Array(44_100), 44_100, ['mfcc', 'spectralFlatness'])
    expect(frames.values.length).toBeGreaterThan(10)
    expect(frames.values.every((values) => values === null)).toBe(true)
  })
  it('has no frames of less than one', () => {
    expect(measureFrames(new Float32Array(100), 44_100, ['rms']).values).toEqual([])
  })
  it('looks at no more than 150 frames, in rows over the whole length', () => {
    const frames = measureFrames(sine(8000, 60, 300), 8000, ['powerSpectrum'])
    expect(frames.values).toHaveLength(MAX_FRAMES)
    expect(frames.groups).toEqual([0, 30, 60, 90, 120])
    expect(frames.timeS[0]).toBe(0)
    expect(frames.timeS.at(-1)! + frames.frameS).toBeGreaterThan(59.8)
    const gaps = [...frames.timeS].slice(1).map((time, i) => time - frames.timeS[i]!)
    expect(gaps.filter((gap) => gap > 1.5 * frames.frameS)).toHaveLength(4)
  })
})
