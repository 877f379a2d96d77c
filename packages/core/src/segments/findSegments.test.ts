import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { normals } from '../../test/normals.js'
import { makeTurns, repeatTurn, type Turn } from '../../test/relations/makeTurns.js'
import { PATTERNS, type Revolutions, UNSURE } from '../labels/types.js'
import { seededRandom } from '../math/random.js'
import { findSegments } from './findSegments.js'
import type { Segment } from './types.js'

/** A stretch of riding: speed goes evenly in its logarithm from one value to the other. */
interface Leg {
  readonly seconds: number
  readonly rpm: readonly [number, number]
  readonly levelDb: number
  readonly turn?: (i: number) => Turn
}

/** Turns of legs one after another, with 1 % scatter of speed and 1 dB of level. Level follows speed at 10 dB an octave. */
function ride(legs: readonly Leg[], seed = 1): Turn[] {
  const next = seededRandom(seed)
  const scatter = () => next() + next() + next() - 1.5
  const turns: Turn[] = []
  for (const { seconds, rpm, levelDb, turn } of legs) {
    for (let at = 0; at < seconds; ) {
      const speed = rpm[0] * (rpm[1] / rpm[0]) ** (at / seconds)
      const dB = levelDb + 10 * Math.log2(speed / 4000) + 2 * scatter()
      turns.push({ ...turn?.(turns.length), rpm: speed * (1 + 0.02 * scatter()), level: 10 ** (dB / 20) })
      at += 60 / speed
    }
  }
  return turns
}

const alternate = (i: number): Turn => ({ fired: i % 2 ? 0.95 : 0.05, pattern: 'every-other' })
const nowAndThen = (i: number): Turn => ({ fired: (i * 7) % 5 === 0 ? 0.9 : 0.1, pattern: 'irregular' })
const cannotTell = (): Turn => ({ fired: 0.5, low: 0, high: 1, pattern: 'cannot-tell' })
const closed = (): Turn => ({ ...cannotTell(), coasting: 0.9 })

/** A made-up vegetable round on a cargo bicycle: idle, pull away, cruise, roll with the throttle closed, idle. */
const ROUND: Leg[] = [
  { seconds: 3, rpm: [1500, 1500], levelDb: -30, turn: nowAndThen },
  { seconds: 5, rpm: [1600, 5000], levelDb: -20 },
  { seconds: 8, rpm: [5000, 5000], levelDb: -22, turn: alternate },
  { seconds: 6, rpm: [5000, 1900], levelDb: -29, turn: closed },
  { seconds: 3, rpm: [1500, 1500], levelDb: -30, turn: nowAndThen },
]

function segmentsOf(turns: readonly Turn[]): {
  segments: Segment[]
  revolutions: Revolutions
  durationS: number
} {
  const revolutions = makeTurns(turns)
  const last = turns.length - 1
  const durationS = turns.length === 0 ? 3 : revolutions.timeS[last]! + revolutions.durationS[last]!
  return { segments: findSegments(revolutions, durationS), revolutions, durationS }
}
const kindsOf = (turns: readonly Turn[]) => segmentsOf(turns).segments.map((segment) => segment.kind)

describe('findSegments', () => {
  it('is stopped without a turn, and empty without a recording', () => {
    expect(findSegments(makeTurns([]), 0)).toEqual([])
    expect(findSegments(makeTurns([]), 3)).toEqual([
      {
        startS: 0,
        endS: 3,
        kind: 'stopped',
        speedRpm: null,
        misfireRatio: null,
        pattern: null,
        firstTurn: 0,
        endTurn: 0,
        longestSkipRun: 0,
        popDb: null,
        unevenness: null,
      },
    ])
  })
  it('says nothing about a lone turn in a long silence', () => {
    const segments = findSegments(makeTurns([{ rpm: 6000 }], 1), 3)
    expect(segments).toMatchObject([{ kind: 'stopped', startS: 0, endS: 3, firstTurn: 0, endTurn: 1 }])
  })
  it('cuts a ride into what was ridden', () => {
    const { segments } = segmentsOf(ride(ROUND))
    expect(segments.map((segment) => segment.kind)).toEqual(['idle', 'pulling', 'steady', 'coasting', 'idle'])
    // Borders within half a second of 3, 8, 16, 22.
    for (const [i, border] of [3, 8, 16, 22].entries()) {
      expect(Math.abs(segments[i]!.endS - border)).toBeLessThan(0.5)
    }
    const [idle, pulling, steady, coasting] = segments
    expect(steady).toMatchObject({ pattern: 'every-other', longestSkipRun: 1 })
    expect(steady!.misfireRatio!.value).toBeCloseTo(0.5, 1)
    expect(pulling!.misfireRatio!.value).toBeLessThan(0.1)
    expect(idle!.pattern).toBe('irregular')
    expect(coasting).toMatchObject({ pattern: 'cannot-tell', longestSkipRun: 0, popDb: null })
    expect(coasting!.misfireRatio).toMatchObject({ value: null, low: null, high: null })
  })
  it('takes a slow fall at full loudness for running, not coasting', () => {
    const hill = ride([
      { seconds: 4, rpm: [5000, 5000], levelDb: -22 },
      { seconds: 4, rpm: [5000, 3600], levelDb: -21 },
      { seconds: 4, rpm: [3600, 3600], levelDb: -21 },
    ])
    expect(kindsOf(hill)).toEqual(['steady'])
  })
  it('coasts where the throttle is heard to be closed, whatever speed and level do', () => {
    const then = (leg: Partial<Leg>) =>
      kindsOf(
        ride([
          { seconds: 4, rpm: [5000, 5000], levelDb: -22 },
          { seconds: 3, rpm: [5000, 3600], levelDb: -26, ...leg },
        ]),
      )
    expect(then({})).toEqual(['steady'])
    expect(then({ turn: alternate })).toEqual(['steady'])
    expect(then({ turn: closed })).toEqual(['steady', 'coasting'])
    expect(then({ turn: closed, rpm: [5000, 5000], levelDb: -22 })).toEqual(['steady', 'coasting'])
    expect(then({ turn: () => ({ coasting: 0.4 }) })).toEqual(['steady'])
  })
  it('calls 3,000 rpm idle beside 9,000, and cruising on its own', () => {
    const low: Leg = { seconds: 2, rpm: [3000, 3000], levelDb: -34, turn: cannotTell }
    const fast = ride([
      low,
      { seconds: 1, rpm: [3000, 9000], levelDb: -20 },
      { seconds: 2, rpm: [9000, 9000], levelDb: -20 },
    ])
    expect(kindsOf(fast)).toEqual(['idle', 'pulling', 'steady'])
    expect(kindsOf(ride([{ ...low, turn: alternate }]))).toEqual(['steady'])
    expect(kindsOf(ride([{ ...low, turn: nowAndThen }]))).toEqual(['idle'])
  })
  it('is not shaken by a few unsure turns and wrong speeds', () => {
    const next = seededRandom(9)
    const shaken = ride(ROUND).map((turn) => {
      const roll = next()
      if (roll < 0.05) return { ...turn, ...cannotTell(), label: UNSURE }
      return roll < 0.08 ? { ...turn, rpm: turn.rpm! * 1.5 } : turn
    })
    expect(kindsOf(shaken)).toEqual(['idle', 'pulling', 'steady', 'coasting', 'idle'])
  })
  it('finds the stops, and joins short silences and short bursts', () => {
    const running = (seconds: number, gapS: number): Turn[] => {
      const turns = ride([{ seconds, rpm: [6000, 6000], levelDb: -20 }])
      return turns.map((turn, i) => (i === 0 ? { ...turn, gapS } : turn))
    }
    const turns = [...running(2, 1), ...running(2, 0.1), ...running(0.2, 1), ...running(2, 1)]
    const revolutions = makeTurns(turns)
    const segments = findSegments(revolutions, 10)
    expect(segments.map((segment) => segment.kind)).toEqual([
      'stopped',
      'steady',
      'stopped',
      'steady',
      'stopped',
    ])
    expect(segments[1]!.endS - segments[1]!.startS).toBeCloseTo(4.1, 1)
    expect(segments[2]!.endTurn - segments[2]!.firstTurn).toBeGreaterThan(15)
  })
  it('keeps its figures when every level doubles', () => {
    const turns = ride(ROUND)
    const louder = segmentsOf(turns.map((turn) => ({ ...turn, level: 2 * turn.level! })))
    const plain = segmentsOf(turns)
    const pops = (segments: readonly Segment[]) => segments.map(({ popDb, ...rest }) => rest)
    expect(pops(louder.segments)).toEqual(pops(plain.segments))
    plain.segments.forEach(({ popDb }, i) => {
      const other = louder.segments[i]!.popDb
      expect(other === null).toBe(popDb === null)
      if (popDb !== null) expect(other).toBeCloseTo(popDb, 4)
    })
  })
  it('moves every border by the delay of the sound', () => {
    const turns = ride(ROUND)
    const plain = segmentsOf(turns)
    const later = findSegments(makeTurns(turns, 0.2), plain.durationS + 0.2)
    expect(later.map((segment) => segment.kind)).toEqual(plain.segments.map((segment) => segment.kind))
    plain.segments.forEach((segment, i) => {
      expect(later[i]!.endS).toBeCloseTo(segment.endS + 0.2, 6)
    })
  })
  it('puts every moment and every turn into exactly one segment', () => {
    const turn = fc.record({
      fired: fc.double({ min: 0, max: 1, noNaN: true }),
      rpm: fc.double({ min: 900, max: 17_000, noNaN: true }),
      level: fc.double({ min: 0, max: 1, noNaN: true }),
      pattern: fc.constantFrom(...PATTERNS),
      gapS: fc.oneof({ weight: 9, arbitrary: fc.constant(0) }, fc.double({ min: 0, max: 2, noNaN: true })),
    })
    fc.assert(
      fc.property(
        fc.array(turn, { maxLength: 200 }),
        fc.double({ min: 0, max: 2, noNaN: true }),
        (turns, tailS) => {
          const revolutions = makeTurns(turns)
          const m = turns.length
          const endS = m === 0 ? 0 : revolutions.timeS[m - 1]! + revolutions.durationS[m - 1]!
          const durationS = endS + tailS
          const segments = findSegments(revolutions, durationS)
          expect(segments.length === 0).toBe(durationS === 0)
          if (durationS === 0) return
          expect(segments[0]).toMatchObject({ startS: 0, firstTurn: 0 })
          expect(segments.at(-1)).toMatchObject({ endS: durationS, endTurn: m })
          segments.forEach((segment, i) => {
            expect(segment.endS).toBeGreaterThan(segment.startS)
            if (durationS >= 0.7) expect(segment.endS - segment.startS).toBeGreaterThan(0.2)
            if (i === 0) return
            expect(segment.startS).toBe(segments[i - 1]!.endS)
            expect(segment.firstTurn).toBe(segments[i - 1]!.endTurn)
            expect(segment.kind === 'stopped' && segments[i - 1]!.kind === 'stopped').toBe(false)
          })
        },
      ),
    )
  })
  it('finds the parts of ten minutes of riding', () => {
    const turns = Array.from({ length: 24 }, () => ride(ROUND)).flat()
    const revolutions = makeTurns(turns)
    expect(findSegments(revolutions, 700).length).toBeGreaterThan(24 * 4)
  })
})

describe('figures of a segment', () => {
  it('finds the pop of a firing after a skip', () => {
    const turns = repeatTurn(300, (i): Turn => {
      const place = i % 12
      return { fired: place === 0 ? 0 : 1, level: place === 1 ? 0.2 : 0.1, pattern: 'irregular' }
    })
    // Twice the amplitude is 6.02 dB.
    expect(segmentsOf(turns).segments[0]!.popDb).toBeCloseTo(6.02, 2)
  })
  it('has no pop without steady firing to compare with', () => {
    expect(segmentsOf(repeatTurn(300, alternate)).segments[0]!.popDb).toBeNull()
  })
  it('counts the longest run of skips', () => {
    const turns = repeatTurn(300, (i): Turn => ({ fired: i % 10 < 4 || (i > 200 && i < 208) ? 0 : 1 }))
    // Turns 200 to 207: the first four of their ten, then those made to skip.
    expect(segmentsOf(turns).segments[0]!.longestSkipRun).toBe(8)
  })
  it('measures unevenness but not a steady rise', () => {
    const normal = normals(4)
    const uneven = segmentsOf(repeatTurn(2000, () => ({ rpm: 6000 * (1 + 0.01 * normal()) })))
    // Standard error of a median deviation at 2,000 turns is about 2.6 % of it; four of those.
    expect(Math.abs(uneven.segments[0]!.unevenness! - 0.01)).toBeLessThan(0.001)
    const rising = segmentsOf(repeatTurn(500, (i) => ({ rpm: 4000 + 8 * i })))
    expect(rising.segments[0]).toMatchObject({ kind: 'pulling' })
    expect(rising.segments[0]!.unevenness).toBeLessThan(1e-9)
  })
})
