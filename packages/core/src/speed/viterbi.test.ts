import { describe, expect, it } from 'vitest'
import { makeMap } from '../../test/makeMap.js'
import { seededRandom } from '../math/random.js'
import { BINS, BINS_PER_OCTAVE } from './constants.js'
import { REACH } from './paths.js'
import { OCTAVE_BIAS, viterbi } from './viterbi.js'

const FRAMES = 60
const ones = new Float64Array(FRAMES).fill(1)

describe('viterbi', () => {
  it('keeps to a ridge that stays, and to one that climbs', () => {
    expect([...viterbi(makeMap(FRAMES, [{ at: () => 90 }])).bins]).toEqual(new Array(FRAMES).fill(90))
    const climb = (k: number) => 60 + 2 * k
    const { bins, relabels } = viterbi(makeMap(FRAMES, [{ at: climb, slope: 2 }]))
    bins.forEach((b, k) => {
      expect(Math.abs(b - climb(k))).toBeLessThanOrEqual(1)
    })
    expect(relabels).toEqual(ones)
  })
  it('bridges 0.2 s of noise in a steady ridge', () => {
    const map = makeMap(FRAMES, [{ at: () => 90 }])
    const random = seededRandom(1)
    for (let k = 25; k < 35; k++) for (let b = 0; b < BINS; b++) map.values[k * BINS + b] = 0.15 * random()
    const { bins } = viterbi(map)
    expect([bins[0], bins[FRAMES - 1]]).toEqual([90, 90])
    for (const b of bins) expect(Math.abs(b - 90)).toBeLessThan(BINS_PER_OCTAVE / 3)
  })
  it('takes the stronger of two ridges, and the faster where they are nearly alike', () => {
    const pair = (upper: number) =>
      viterbi(
        makeMap(FRAMES, [
          { at: () => 60, height: 1 },
          { at: () => 60 + BINS_PER_OCTAVE, height: upper },
        ]),
      ).bins[30]
    expect(pair(1)).toBe(60 + BINS_PER_OCTAVE)
    expect(pair(1 - 0.8 * OCTAVE_BIAS)).toBe(60 + BINS_PER_OCTAVE)
    expect(pair(1 - 1.2 * OCTAVE_BIAS)).toBe(60)
  })
  it.each([2, 1 / 2, 3, 3 / 2])(
    'marks the frame at which a ridge goes on at %d times its place',
    (factor) => {
      const from = factor > 1 ? 20 : 120
      const jump = Math.round(Math.log2(factor) * BINS_PER_OCTAVE)
      const { bins, relabels } = viterbi(makeMap(FRAMES, [{ at: (k) => (k < 30 ? from : from + jump) }]))
      expect([bins[29], bins[30]]).toEqual([from, from + jump])
      expect(relabels[30]).toBe(factor)
      expect(Array.from(relabels).filter((r) => r !== 1)).toHaveLength(1)
    },
  )
  it('never moves farther than its reach between frames but by a marked multiple', () => {
    const random = seededRandom(5)
    const map = makeMap(80, [])
    map.values.forEach((_, i) => {
      map.values[i] = 3 * random()
    })
    const { bins, relabels } = viterbi(map)
    for (let k = 1; k < 80; k++)
      if (relabels[k] === 1) expect(Math.abs(bins[k]! - bins[k - 1]!)).toBeLessThanOrEqual(REACH)
      else
        expect(Math.abs((bins[k]! - bins[k - 1]!) / BINS_PER_OCTAVE - Math.log2(relabels[k]!))).toBeLessThan(
          0.02,
        )
  })
  it('stays between the bins allowed, however strong the sound beyond', () => {
    const map = makeMap(FRAMES, [
      { at: () => 40, height: 2 },
      { at: () => 100, height: 0.5 },
    ])
    expect([...viterbi(map, 70, 130).bins]).toEqual(new Array(FRAMES).fill(100))
    for (const b of viterbi(map, 60, 60).bins) expect(b).toBe(60)
  })
  it('takes one frame by its best bin, and none', () => {
    expect([...viterbi(makeMap(1, [{ at: () => 33 }])).bins]).toEqual([33])
    expect(viterbi(makeMap(0, [])).bins).toHaveLength(0)
  })
  it('stays at one place in silence', () => {
    const { bins, relabels } = viterbi(makeMap(FRAMES, []))
    expect(new Set(bins).size).toBe(1)
    expect(relabels).toEqual(ones)
  })
})
