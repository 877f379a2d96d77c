import { describe, expect, it } from 'vitest'
import { soundingTurns } from './ends.js'

const turns = (...parts: readonly (readonly [number, number])[]) =>
  Float64Array.from(parts.flatMap(([count, level]) => new Array<number>(count).fill(level)))

describe('soundingTurns', () => {
  it('leaves out silence before and after an engine', () => {
    expect(soundingTurns(turns([14, 0.003], [60, 0.1], [9, 0.002]))).toEqual({ first: 14, end: 74 })
  })
  it('keeps skipped turns, and an idle that a pick-up follows', () => {
    // 5 dB between the kinds, 20 dB from idle to full throttle: the most that real engines show.
    expect(soundingTurns(turns([1, 0.056], [1, 0.1], [1, 0.056], [40, 0.1]))).toEqual({ first: 0, end: 43 })
    expect(soundingTurns(turns([20, 0.01], [60, 0.1]))).toEqual({ first: 0, end: 80 })
  })
  it('takes even silence as it is', () => {
    expect(soundingTurns(new Float64Array(20))).toEqual({ first: 0, end: 20 })
    expect(soundingTurns(new Float64Array(0))).toEqual({ first: 0, end: 0 })
  })
})
