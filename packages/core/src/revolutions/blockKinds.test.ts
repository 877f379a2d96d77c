import { describe, expect, it } from 'vitest'
import { every, makeRun } from '../../test/makeRun.js'
import { blockKinds, bothKindsNear } from './blockKinds.js'

const TURNS = 512
const mostly = (x: Float64Array): number => x.reduce((a, b) => a + b, 0) / x.length

describe('blockKinds', () => {
  it('finds a rare firing, one turn in five, and says which turns are alike', () => {
    const kinds = every(5, TURNS)
    const { values, trust } = blockKinds(makeRun({ kinds, speedHz: 50, difference: 0.6, noise: 0.3 }))
    expect(mostly(trust)).toBeGreaterThan(0.9)
    const sign = values[0]! < 0 ? -1 : 1
    const right = kinds.filter((kind, n) => sign * values[n]! > 0 === (kind === kinds[0])).length
    expect(right / TURNS).toBeGreaterThan(0.97)
  })
  it('trusts nothing in even running, in silence and in a few turns', () => {
    const even = makeRun({ kinds: new Array(TURNS).fill(1), difference: 0.6, noise: 0.3 })
    expect(mostly(blockKinds(even).trust)).toBeLessThan(0.05)
    const silent = makeRun({ kinds: new Array(TURNS).fill(1), gain: 0 })
    expect(mostly(blockKinds(silent).trust)).toBe(0)
    const few = makeRun({ kinds: every(2, 40), difference: 0.6, noise: 0.3 })
    expect(mostly(blockKinds(few).trust)).toBe(0)
  })
})

describe('bothKindsNear', () => {
  it('is 1 among both kinds and 0 where one runs on', () => {
    const values = Float64Array.from({ length: 80 }, (_, n) => (n < 40 && n % 2 === 0 ? -1 : 1))
    const near = bothKindsNear(values)
    expect(near[20]).toBe(1)
    expect(near[70]).toBe(0)
  })
})
