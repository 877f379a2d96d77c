import { describe, expect, it } from 'vitest'
import { every, makeCuts, type RunWish } from '../../test/makeRun.js'
import { bandedGram, residualBand } from '../turns/vectors.js'
import { WINDOW_HOP, WINDOW_TURNS, waveDepths, windowEvidence } from './windows.js'

function evidenceOf(wish: RunWish) {
  const residuals = makeCuts(wish).map(residualBand)
  return windowEvidence(
    residuals.map((r) => bandedGram(r, WINDOW_TURNS)),
    residuals,
  )
}
/** A window with no end of the run within reach of the mean turn. */
const inner = (wish: RunWish) => evidenceOf(wish)[3]!

describe('windowEvidence', () => {
  it('sees an alternation: all difference in one component of period two', () => {
    const { component, share, folds, lag1, agreement } = inner({ kinds: every(2, 60), noise: 0 })
    expect(share).toBeGreaterThan(0.99)
    expect(folds[0]).toBeCloseTo(1, 2)
    expect(lag1).toBeCloseTo(-1, 1)
    expect(agreement).toBeGreaterThan(0.99)
    for (let i = 1; i < WINDOW_TURNS; i++) expect(component[i]! * component[i - 1]!).toBeLessThan(0)
    expect(Math.hypot(...component)).toBeCloseTo(1, 9)
  })
  it.each([3, 4])('sees the %i-turn pattern in its fold alone', (period) => {
    const { folds, share } = inner({ kinds: every(period, 60), noise: 0 })
    expect(share).toBeGreaterThan(0.95)
    expect(folds[period - 2]).toBeGreaterThan(0.95)
    expect(folds[period === 3 ? 2 : 1]).toBeLessThan(0.2)
  })
  it('sees no order in noise that is fresh in every band, and less agreement than with two kinds in it', () => {
    const meanOver = (kinds: number[], read: (w: ReturnType<typeof inner>) => number) => {
      const windows = evidenceOf({ kinds, noise: 0.5 })
      return windows.reduce((sum, w) => sum + read(w) / windows.length, 0)
    }
    const even = new Array<number>(120).fill(0)
    expect(meanOver(even, (w) => w.share)).toBeLessThan(0.4)
    expect(meanOver(even, (w) => w.folds[0])).toBeLessThan(0.3)
    // Taking the mean turn away makes bands of noise alike up to a point, so agreement in noise is not 0.
    const agreement = (kinds: number[]) => meanOver(kinds, (w) => w.agreement)
    expect(agreement(every(3, 120)) - agreement(even)).toBeGreaterThan(0.2)
  })
  it('gives the depth of the second picture against the shared one, dB', () => {
    // A Hann mean over nine turns takes an alternation away wholly: energies d² and 1, less 1/24 for chance.
    for (const difference of [1, 0.5, 0.1]) {
      const { depthDb } = inner({ kinds: every(2, 60), difference, noise: 0 })
      const wanted = 20 * Math.log10(difference) + 10 * Math.log10(1 - 1 / WINDOW_TURNS)
      for (const depth of depthDb) expect(depth).toBeCloseTo(wanted, 1)
    }
  })
  it('does not change with the gain', () => {
    const wish = { kinds: every(3, 40), noise: 0.3 }
    const cuts = makeCuts(wish).map((c) => ({ ...c, values: c.values.map((v) => 8 * v) }))
    const residuals = cuts.map(residualBand)
    const loud = windowEvidence(
      residuals.map((r) => bandedGram(r, WINDOW_TURNS)),
      residuals,
    )
    evidenceOf(wish).forEach((plain, w) => {
      expect(loud[w]!.share).toBeCloseTo(plain.share, 6)
      loud[w]!.depthDb.forEach((depth, b) => {
        expect(depth).toBeCloseTo(plain.depthDb[b]!, 4)
      })
    })
  })
  it('covers every turn, the last window ending with the run', () => {
    for (const turns of [24, 25, 47, 60]) {
      const windows = evidenceOf({ kinds: every(2, turns) })
      expect(windows[0]!.firstTurn).toBe(0)
      expect(windows.at(-1)!.firstTurn + windows.at(-1)!.turns).toBe(turns)
      for (let w = 1; w < windows.length; w++) {
        const step = windows[w]!.firstTurn - windows[w - 1]!.firstTurn
        expect(step).toBeGreaterThan(0)
        expect(step).toBeLessThanOrEqual(WINDOW_HOP)
      }
    }
  })
  it('takes a short run as one window, and says nothing below six turns', () => {
    const [only, ...others] = evidenceOf({ kinds: every(2, 6) })
    expect(others).toHaveLength(0)
    expect(only!.turns).toBe(6)
    expect(evidenceOf({ kinds: every(2, 5) })).toEqual([])
    expect(evidenceOf({ kinds: [] })).toEqual([])
  })
  it('gives no share and no depth for silence', () => {
    const silent = makeCuts({ kinds: every(2, 30) }).map((c) =>
      residualBand({ ...c, values: c.values.fill(0) }),
    )
    for (const window of windowEvidence(
      silent.map((r) => bandedGram(r, WINDOW_TURNS)),
      silent,
    )) {
      expect(window.share).toBe(0)
      expect(window.agreement).toBe(0)
      for (const depth of window.depthDb) expect(depth).toBeLessThan(-50)
    }
  })
})

it('takes the largest and the middle depth of the three waveforms', () => {
  expect(waveDepths(Float64Array.of(-9, -3, -6, 40, 40, 40, 40, 40))).toEqual([-3, -6])
})
