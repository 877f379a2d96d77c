import { describe, expect, test } from 'vitest'
import { normals } from '../../test/normals.js'
import { makeArena } from './arena.js'
import { type Border, makeGrouping } from './grouping.js'
import { makeKernels } from './kernels/index.js'

const groupingOf = (turns: number) => makeGrouping(makeArena(makeKernels()), turns)
const borderOf = (side: Float64Array): Border => groupingOf(side.length).border(side)

describe('a border', () => {
  test('of a normal distribution leaves means 2.65 standard deviations apart', () => {
    // By hand: means at ±√(2/π), so that within a group the variance is 1 − 2/π.
    const normal = normals(9)
    const { at, apart } = borderOf(Float64Array.from({ length: 20000 }, () => normal()))
    expect(Math.abs(at)).toBeLessThan(0.1)
    expect(apart).toBeCloseTo((2 * Math.sqrt(2 / Math.PI)) / Math.sqrt(1 - 2 / Math.PI), 1)
  })
  test('lies between two groups', () => {
    const { at, apart } = borderOf(
      Float64Array.from({ length: 100 }, (_, n) => (n < 20 ? 5 : 0) + (n % 2) * 0.5),
    )
    expect(at).toBeCloseTo(2.75)
    expect(apart).toBeCloseTo(20)
  })
  test('is where all numbers are when they are one', () => {
    expect(borderOf(new Float64Array(40).fill(3))).toEqual({ at: 3, apart: 0 })
    expect(borderOf(Float64Array.of(3)).at).toBe(3)
  })
})

describe('groups', () => {
  const side = Float64Array.from({ length: 40 }, (_, n) => (n % 4 === 0 ? 1 : -1))
  const { balanced, key } = groupingOf(40).split(side, 0)
  test('are told by numbers of mean 0', () => {
    expect([...balanced.subarray(0, 5)]).toEqual([0.75, -0.25, -0.25, -0.25, 0.75])
  })
  test('have one key whichever of them is above, and another than all others', () => {
    const turned = side.map((x) => -x)
    expect(groupingOf(40).split(turned, 0).key).toBe(key)
    turned[39] = -1
    expect(groupingOf(40).split(turned, 0).key).not.toBe(key)
  })
})
