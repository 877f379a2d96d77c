import { describe, expect, it } from 'vitest'
import { every, makeCuts } from '../../test/makeRun.js'
import { seededRandom } from '../math/random.js'
import { templateScores } from './templates.js'

const ones = (n: number, v = 1) => new Float64Array(n).fill(v)

describe('templateScores', () => {
  it.each([2, 3, 4])('puts every turn of a %i-turn pattern at −½ or +½', (period) => {
    const kinds = every(period, 90)
    const { values, validity, separation } = templateScores(
      makeCuts({ kinds, noise: 0.1 }),
      Float64Array.from(kinds),
      ones(90),
    )
    kinds.forEach((kind, n) => {
      expect(Math.abs(values[n]! - (kind - 0.5))).toBeLessThan(0.15)
      expect(validity[n]).toBeGreaterThan(0.85)
      expect(separation[n]!).toBeGreaterThan(4)
    })
  })
  it('puts a lone turn that was taken for the other kind where it belongs', () => {
    const kinds = every(4, 90)
    const believed = Float64Array.from(kinds)
    kinds[42] = 1
    const { values } = templateScores(makeCuts({ kinds, noise: 0.1 }), believed, ones(90))
    expect(believed[42]).toBe(0)
    expect(values[42]!).toBeGreaterThan(0.35)
  })
  it('changes sign with the kinds', () => {
    const kinds = every(3, 60)
    const cuts = makeCuts({ kinds, noise: 0.2 })
    const one = templateScores(cuts, Float64Array.from(kinds), ones(60))
    const other = templateScores(
      cuts,
      Float64Array.from(kinds, (k) => 1 - k),
      ones(60),
    )
    one.values.forEach((v, n) => {
      expect(other.values[n]!).toBeCloseTo(-v, 4)
    })
    expect(other.separation[30]!).toBeCloseTo(one.separation[30]!, 3)
  })
  it('finds groups drawn by chance from even running no farther apart than chance', () => {
    const random = seededRandom(12)
    const drawn = Float64Array.from({ length: 200 }, () => (random() < 0.5 ? 0 : 1))
    const { separation } = templateScores(
      makeCuts({ kinds: new Array<number>(200).fill(1), noise: 0.3 }),
      drawn,
      ones(200),
    )
    const mean = separation.reduce((sum, s) => sum + s / 200, 0)
    expect(mean).toBeLessThan(1)
  })
  it('grows surer with the difference between the kinds', () => {
    const kinds = every(2, 80)
    const at = [0.02, 0.05, 0.2].map(
      (difference) =>
        templateScores(makeCuts({ kinds, difference, noise: 0.5 }), Float64Array.from(kinds), ones(80))
          .separation[40]!,
    )
    expect(at[1]!).toBeGreaterThan(at[0]!)
    expect(at[2]!).toBeGreaterThan(at[1]!)
  })
  it('believes in nothing where one kind is missing, where nothing is known, and out of reach of the other kind', () => {
    const kinds = new Array(80).fill(0)
    const cuts = makeCuts({ kinds })
    for (const [high, two] of [
      [0, 1],
      [1, 1],
      [0.5, 0],
    ] as const) {
      const { values, validity } = templateScores(cuts, ones(80, high), ones(80, two))
      for (let n = 0; n < 80; n++) {
        expect(validity[n]).toBe(0)
        expect(values[n]).toBe(0)
      }
    }
    const half = Array.from({ length: 200 }, (_, n) => (n < 60 ? n % 2 : 0))
    const { validity } = templateScores(makeCuts({ kinds: half }), Float64Array.from(half), ones(200))
    expect(validity[30]).toBe(1)
    expect(validity[120]!).toBeLessThan(0.05)
  })
  it('takes no turns, one turn and silence', () => {
    expect(templateScores(makeCuts({ kinds: [] }), ones(0), ones(0)).values).toHaveLength(0)
    expect(templateScores(makeCuts({ kinds: [1] }), ones(1), ones(1)).validity[0]).toBe(0)
    const silent = makeCuts({ kinds: every(2, 40) }).map((c) => ({ ...c, values: c.values.fill(0) }))
    const { values, separation } = templateScores(silent, Float64Array.from(every(2, 40)), ones(40))
    expect([...values, ...separation]).toEqual(new Array(80).fill(0))
  })
})
