import { describe, expect, it } from 'vitest'
import { normals } from '../../test/normals.js'
import { FLOOR_DBFS, measureLevels } from './levels.js'

function noise(n: number, sd: number): Float32Array {
  const normal = normals(2)
  return Float32Array.from({ length: n }, () => sd * normal())
}
const sine = (n: number, hz: number) =>
  Float32Array.from({ length: n }, (_, i) => Math.sin((2 * Math.PI * hz * i) / 44_100))
const cut = (samples: Float32Array, at: number) => samples.map((x) => Math.min(at, Math.max(-at, x)))

describe('measureLevels', () => {
  it('gives a full-scale sine −3.01 dB and a peak of 0 dB', () => {
    const levels = measureLevels(sine(44_100, 441))
    expect(levels.levelDbfs).toBeCloseTo(-3.01, 2)
    expect(levels.peakDbfs).toBeCloseTo(0, 2)
  })
  it('has a floor for silence and for nothing', () => {
    const silent = { levelDbfs: FLOOR_DBFS, peakDbfs: FLOOR_DBFS, clippedRatio: 0 }
    expect(measureLevels(new Float32Array(1000))).toEqual(silent)
    expect(measureLevels(new Float32Array(0))).toEqual(silent)
  })
  it('counts the flat tops of cut noise', () => {
    // About a third of the samples lie beyond one standard deviation; runs of one or two do not count as flat.
    const smooth = noise(200_000, 0.5)
    for (let i = 1; i < smooth.length; i++) smooth[i] = 0.9 * smooth[i - 1]! + 0.436 * smooth[i]!
    const beyond = smooth.filter((x) => Math.abs(x) >= 0.5).length / smooth.length
    const found = measureLevels(cut(smooth, 0.5)).clippedRatio
    expect(found).toBeGreaterThan(0.7 * beyond)
    expect(found).toBeLessThan(1.01 * beyond)
  })
  it('finds cut tops that a filter has rounded', () => {
    const hard = cut(noise(200_000, 0.5), 0.6)
    const rounded = hard.map((x, i) => 0.97 * x + 0.03 * (hard[i - 1] ?? 0))
    expect(measureLevels(rounded).clippedRatio).toBeGreaterThan(0.01)
  })
  it('finds full scale passed by a codec that overshoots', () => {
    const over = noise(200_000, 0.5).map((x) => Math.min(1.1, Math.max(-1.1, x)))
    const found = measureLevels(over).clippedRatio
    const beyond = over.filter((x) => Math.abs(x) >= 1).length / over.length
    expect(found).toBeGreaterThan(0.9 * beyond)
  })
  it('finds none in noise at any gain, nor in pulses that all peak at one height on one side', () => {
    expect(measureLevels(noise(400_000, 0.1)).clippedRatio).toBe(0)
    expect(measureLevels(noise(400_000, 0.01)).clippedRatio).toBe(0)
    const pulses = sine(400_000, 50).map((x, i) => 0.6 * (Math.max(0, x) ** 2 - 0.25) + 0.01 * Math.sin(i))
    expect(measureLevels(pulses).clippedRatio).toBe(0)
  })
  it('looks at blocks of a long recording', () => {
    const long = new Float32Array(9_000_000).fill(0.25)
    expect(measureLevels(long).levelDbfs).toBeCloseTo(20 * Math.log10(0.25), 3)
  })
})
