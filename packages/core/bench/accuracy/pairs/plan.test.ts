import { describe, expect, it } from 'vitest'
import { planPair, trueChange } from './plan.js'
import { PASS_S, rideOf } from './ride.js'
import { CHANGES, type Habit } from './types.js'

const SEEDS = Array.from({ length: 200 }, (_, i) => 1 + i)
const exact = { skipping: 0.5, clean: 0 }

describe('plans of pairs', () => {
  it.each(CHANGES)('%s: shares lie within bounds, and speeds within what engines do', (change) => {
    for (const seed of SEEDS) {
      const { before, after, speedsHz } = planPair('first', change, seed)
      for (const { skippingShare, speedShare } of [before, after]) {
        expect(skippingShare.every((share) => share >= 0 && share <= 1)).toBe(true)
        expect(speedShare.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12)
        expect([speedShare.length, skippingShare.length]).toEqual([speedsHz.length, speedsHz.length])
      }
      expect(Math.min(...speedsHz)).toBeGreaterThanOrEqual(40)
      expect(Math.max(...speedsHz)).toBeLessThan(250)
    }
  })
  it('have no change, a small one or a large one, both ways', () => {
    const changes = (change: 'none' | 'small' | 'large') =>
      SEEDS.map((seed) => planPair('first', change, seed))
        .filter(({ before }) => before.skipping === 'every-other')
        .map((plan) => trueChange(plan, exact))
    expect(changes('none').every((size) => size === 0)).toBe(true)
    // The share of turns is a little above that of time, as it runs faster while it skips.
    for (const [name, low, high] of [
      ['small', 0.028, 0.09],
      ['large', 0.075, 0.36],
    ] as const) {
      const sizes = changes(name).map(Math.abs)
      expect(Math.min(...sizes)).toBeGreaterThan(low)
      expect(Math.max(...sizes)).toBeLessThan(high)
      expect(changes(name).filter((size) => size < 0).length).toBeGreaterThan(20)
      expect(changes(name).filter((size) => size > 0).length).toBeGreaterThan(20)
    }
  })
  it('are the same twice, and others for another seed or simulator', () => {
    expect(planPair('first', 'small', 7)).toEqual(planPair('first', 'small', 7))
    expect(planPair('second', 'small', 7).speedsHz).not.toEqual(planPair('first', 'small', 7).speedsHz)
    expect(planPair('first', 'small', 8)).not.toEqual(planPair('first', 'small', 7))
  })
  it('run clearly apart where they are meant to', () => {
    for (const seed of SEEDS) {
      const { speedsHz, before, after } = planPair('first', 'speeds', seed)
      expect(speedsHz[1]! / speedsHz[0]!).toBeGreaterThanOrEqual(1.25)
      expect(before.speedShare).toEqual([...after.speedShare].reverse())
    }
  })
})

describe('rides', () => {
  it('fill the pass and come to the long-run share of skipping', () => {
    for (const seed of [3, 4, 5, 6]) {
      const plan = planPair('first', 'large', seed)
      for (const side of ['before', 'after'] as const) {
        const time = plan.speedsHz.map(() => ({ all: 0, skipping: 0 }))
        for (let pass = 0; pass < 300; pass++) {
          const legs = rideOf(plan, side, pass)
          const lengthS = legs.reduce((sum, leg) => sum + leg.lengthS, 0)
          expect(Math.abs(lengthS - PASS_S)).toBeLessThan(0.4)
          for (const { state, lengthS: legS, speedHz } of legs) {
            const nearest = plan.speedsHz.map((hz) => Math.abs(Math.log(speedHz / hz)))
            const at = time[nearest.indexOf(Math.min(...nearest))]!
            at.all += legS
            if (state !== 'every-turn') at.skipping += legS
          }
        }
        const habit: Habit = plan[side]
        time.forEach(({ all, skipping }, speed) => {
          expect(Math.abs(skipping / all - habit.skippingShare[speed]!)).toBeLessThan(0.015)
          expect(Math.abs(all / (300 * PASS_S) - habit.speedShare[speed]!)).toBeLessThan(0.01)
        })
      }
    }
  })
})
