import { describe, expect, it } from 'vitest'
import { type HeardWish, makeHeard } from '../../test/makeHeard.js'
import { median } from '../math/stats.js'
import { readCrank, traceSpeed } from './index.js'

function read(wish: HeardWish, expectHz?: readonly [number, number]) {
  const { heard, startS } = makeHeard(wish)
  const crank = readCrank(traceSpeed(heard, new Uint8Array(heard.frames)), expectHz)
  return { ...crank, truth: startS }
}
/** Largest distance of a turn's start from the nearest true one, as a share of the turn. */
function farthest({ turns, truth }: ReturnType<typeof read>): number {
  let most = 0
  turns.startS.forEach((s, n) => {
    const nearest = truth.reduce((best, t) => (Math.abs(t - s) < Math.abs(best - s) ? t : best))
    most = Math.max(most, Math.abs(nearest - s) / turns.durationS[n]!)
  })
  return most
}
const steady: HeardWish = { durationS: 4, speedHz: () => 90 }

describe('turns', () => {
  it.each([
    ['at an even speed', () => 90],
    ['slow', () => 20],
    ['fast', () => 240],
    ['pulling away at 30 % a second', (t: number) => 60 * 1.3 ** t],
    ['hunting by 8 % twice a second', (t: number) => 100 * (1 + 0.08 * Math.sin(12.6 * t))],
    ['in a blip of 200 Hz a second', (t: number) => 60 + 200 * Math.max(0, Math.min(t - 1.5, 0.5, 2.5 - t))],
  ])('lie where the crank begins them: %s', (_, speedHz) => {
    const found = read({ durationS: 4, speedHz })
    expect(farthest(found)).toBeLessThan(0.03)
    expect(Math.abs(found.turns.startS.length - found.truth.length)).toBeLessThanOrEqual(3)
    expect(found.speed.stretches).toHaveLength(1)
  })
  it('follow one another without gap or overlap, from one stretch to the next too', () => {
    const { turns, speed } = read({ durationS: 6, speedHz: (t) => (t > 2.5 && t < 3.5 ? null : 80) })
    expect(speed.stretches).toHaveLength(2)
    turns.startS.forEach((s, n) => {
      if (n === 0) return
      const endS = turns.startS[n - 1]! + turns.durationS[n - 1]!
      if (turns.stretch[n] === turns.stretch[n - 1]) expect(s).toBeCloseTo(endS, 9)
      else expect(s - endS).toBeGreaterThan(0.9)
    })
  })
  it('go on by the speed where the phase is that of another multiple for a while', () => {
    const found = read({ durationS: 6, speedHz: () => 80, phaseFactor: (t) => (t > 2 && t < 3 ? 2 : 1) })
    expect(farthest(found)).toBeLessThan(0.25)
    expect(found.turns.startS.length).toBeGreaterThan(470)
  })
  it('are none in silence, and in a burst too short to tell', () => {
    expect(read({ durationS: 3, speedHz: () => null }).engine).toBeNull()
    const burst = read({ durationS: 3, speedHz: (t) => (t > 1 && t < 1.4 ? 90 : null) })
    expect(burst.turns.startS).toHaveLength(0)
    expect(burst.speed.stretches).toEqual([])
    expect(burst.engine!).toBeLessThan(0.8)
  })
  it('are heard of a doubtful stretch only where another stretch surely is an engine', () => {
    const apart = (t: number): number | null => (t > 2.5 && t < 3.5 ? null : 80)
    const stretches = (logits: readonly [number, number]) =>
      read({ durationS: 6, speedHz: apart, engineLogit: (t) => logits[t < 3 ? 0 : 1] }).speed.stretches.length
    expect(stretches([0, 0])).toBe(0)
    expect(stretches([0, 3])).toBe(2)
    expect(stretches([-2, 3])).toBe(1)
  })
  it('are none of another sound that has a speed', () => {
    const { turns, engine } = read({ ...steady, engineLogit: -2 })
    expect(turns.startS).toHaveLength(0)
    expect(engine!).toBeLessThan(0.2)
  })
})

describe('speed track', () => {
  it('has a speed and a chance where the engine runs, and none elsewhere', () => {
    const { speed } = read({ durationS: 4, speedHz: (t) => (t < 3 ? 60 + 10 * t : null) })
    speed.timeS.forEach((t, k) => {
      if (t < 2.95) expect(Math.abs(speed.speedRpm[k]! / 60 / (60 + 10 * t) - 1)).toBeLessThan(0.01)
      if (t > 3.05) expect([speed.speedRpm[k], speed.speedProbability[k]]).toEqual([Number.NaN, 0])
    })
    expect(median(speed.speedProbability.subarray(0, 180))).toBeGreaterThan(0.9)
  })
})

describe('twins', () => {
  it('are chosen for all of a stretch by its clearest second', () => {
    // Half of the chance lies on half of the speed all along, but for the last second.
    const found = read({
      durationS: 8,
      speedHz: () => 120,
      otherReadings: (t) => (t < 7 ? [[0.5, 0.499]] : []),
    })
    expect(median(Array.from(found.speed.speedRpm)) / 60).toBeCloseTo(120, 0)
    expect(found.speed.stretches).toMatchObject([{ ambiguous: false, alternativeFactor: null }])
    expect(farthest(found)).toBeLessThan(0.05)
  })
  it('are declared where no second settles them', () => {
    const { speed } = read({ durationS: 8, speedHz: () => 120, otherReadings: () => [[0.5, 0.3]] })
    expect(speed.stretches).toMatchObject([{ ambiguous: true, alternativeFactor: 0.5 }])
    expect(speed.stretches[0]!.readingProbability).toBeCloseTo(0.7, 1)
  })
  it('are no riddle where they keep next to nothing', () => {
    const { speed } = read({
      durationS: 8,
      speedHz: () => 120,
      otherReadings: () => [
        [0.5, 0.03],
        [2, 0.02],
      ],
    })
    expect(speed.stretches).toMatchObject([{ ambiguous: false }])
    expect(speed.stretches[0]!.readingProbability).toBeGreaterThan(0.9)
  })
  it('make no stretch of its own of a second at double speed: an engine cannot jump', () => {
    const { speed } = read({ durationS: 8, speedHz: (t) => (t > 3 && t < 4 ? 160 : 80) })
    expect(speed.stretches).toHaveLength(1)
    expect(Math.max(...speed.speedRpm.filter((rpm) => rpm > 0)) / 60).toBeLessThan(90)
  })
  it('keep a jump apart that is no multiple', () => {
    expect(read({ durationS: 8, speedHz: (t) => (t > 4 ? 148 : 80) }).speed.stretches).toHaveLength(2)
  })
  it('go by the speeds expected where the sound leaves it open', () => {
    const open: HeardWish = { durationS: 8, speedHz: () => 120, otherReadings: () => [[0.5, 0.45]] }
    const speedOf = (expectHz?: readonly [number, number]) => median(read(open, expectHz).speed.speedRpm) / 60
    expect(speedOf()).toBeCloseTo(120, 0)
    expect(speedOf([40, 80])).toBeCloseTo(60, 0)
    const plain = { ...open, otherReadings: () => [[0.5, 0.05]] as const }
    expect(median(read(plain, [40, 80]).speed.speedRpm) / 60).toBeCloseTo(120, 0)
    // An engine that is plainly there stays, far from what was expected too.
    expect(median(read(plain, [250, 300]).speed.speedRpm) / 60).toBeCloseTo(120, 0)
  })
})
