import { describe, expect, it } from 'vitest'
import { makeMap } from '../../test/makeMap.js'
import { BINS } from './constants.js'
import { refineCurve } from './refine.js'

const curve = (n: number, at: (k: number) => number) => Float64Array.from({ length: n }, (_, k) => at(k))

describe('refineCurve', () => {
  it.each([90, 90.25, 90.5, 89.62])('finds a ridge at bin %d from a curve four bins off', (place) => {
    // The ridge is a parabola, so the parabola through three of its values has its peak at the place itself.
    for (const p of refineCurve(
      makeMap(30, [{ at: () => place }]),
      0,
      curve(30, () => 94),
    ))
      expect(p).toBeCloseTo(place, 4)
  })
  it('follows a ridge that climbs', () => {
    const at = (k: number) => 50 + 1.3 * k
    const found = refineCurve(
      makeMap(50, [{ at, slope: 1.3 }]),
      0,
      curve(50, (k) => Math.round(at(k)) + 2),
    )
    found.forEach((p, k) => {
      expect(p).toBeCloseTo(at(k), 2)
    })
  })
  it('reads the map from the first frame given on', () => {
    const map = makeMap(40, [{ at: (k) => (k < 20 ? 60 : 66) }])
    for (const p of refineCurve(
      map,
      20,
      curve(20, () => 64),
    ))
      expect(p).toBeCloseTo(66, 4)
  })
  it('jumps where the settled curve jumps', () => {
    const at = (k: number) => (k < 15 ? 40 : 88)
    const found = refineCurve(
      makeMap(30, [{ at }]),
      0,
      curve(30, (k) => at(k) + 1),
    )
    found.forEach((p, k) => {
      expect(p).toBeCloseTo(at(k), 4)
    })
  })
  it('keeps within 15 % of the settled curve, however strong the sound beyond', () => {
    const map = makeMap(20, [
      { at: () => 100, height: 0.3 },
      { at: () => 118, height: 2 },
    ])
    for (const p of refineCurve(
      map,
      0,
      curve(20, () => 100),
    ))
      expect(p).toBeCloseTo(100, 4)
  })
  it('stays on the map at its edges', () => {
    for (const edge of [1, BINS - 2]) {
      for (const p of refineCurve(
        makeMap(10, [{ at: () => edge }]),
        0,
        curve(10, () => edge),
      ))
        expect(p).toBeCloseTo(edge, 4)
    }
  })
  it('takes one frame and none, and is finite near the curve in silence', () => {
    expect(refineCurve(makeMap(1, [{ at: () => 70.3 }]), 0, Float64Array.of(70))[0]).toBeCloseTo(70.3, 4)
    expect(refineCurve(makeMap(5, []), 0, new Float64Array(0))).toHaveLength(0)
    for (const p of refineCurve(
      makeMap(5, []),
      0,
      curve(5, () => 70),
    ))
      expect(Math.abs(p - 70)).toBeLessThan(10.5)
  })
  it('leaves the curve it was given', () => {
    const bins = curve(10, () => 92)
    refineCurve(makeMap(10, [{ at: () => 90 }]), 0, bins)
    expect(bins).toEqual(curve(10, () => 92))
  })
})
