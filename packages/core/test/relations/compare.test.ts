import { readFileSync } from 'node:fs'
import {
  type Analysis,
  analyze,
  type Comparison,
  compare,
  decodeWav,
  isSameRecording,
  OptionError,
  type Pattern,
  toRecording,
} from '@everyrev/core'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../src/math/random.js'
import { makeAnalysis, oneSegment } from '../makeAnalysis.js'
import { makeTurns, repeatTurn, type Turn } from './makeTurns.js'

/** A clip of an engine whose skips come in runs of about five, each turn skipped with the chance given. */
function clip(share: number, seed: number, turns = 1600, change: (turn: Turn, i: number) => Turn = (t) => t) {
  const next = seededRandom(seed)
  let skipped = next() < share
  const made = Array.from({ length: turns }, (_, i) => {
    skipped = skipped ? next() > 1 / 5 : next() < share / (1 - share) / 5
    const pattern: Pattern = 'irregular'
    return change({ fired: skipped ? 0.01 : 0.99, pattern, rpm: 6000 }, i)
  })
  return steady(made)
}

/** A clip that is one steady segment. */
function steady(turns: readonly Turn[]): Analysis {
  const revolutions = makeTurns(turns)
  return makeAnalysis(revolutions, { segments: [oneSegment(revolutions)] })
}
const fixture = (name: string): URL => new URL(`../../../../fixtures/${name}.wav`, import.meta.url)
const clips = (share: number, ...seeds: number[]): Analysis[] => seeds.map((seed) => clip(share, seed))
const codes = ({ reasons }: Comparison) => reasons.map(({ code }) => code)
const width = ({ change: { low, high } }: Comparison): number => high! - low!

describe('the verdict', () => {
  it('sees a large change, and which way it goes', () => {
    const few = clips(0.1, 1, 2, 3)
    const many = clips(0.4, 4, 5, 6)
    const helped = compare(many, few)
    expect(helped.verdict).toBe('helped')
    expect(helped.change.low!).toBeLessThan(-0.3 + 0.05)
    expect(helped.chanceBetter!).toBeGreaterThan(0.99)
    expect(compare(few, many).verdict).toBe('worse')
  })
  it('is `same` only when the whole interval lies within the margin', () => {
    const clean = (seed: number) => clip(0.002, seed, 6000)
    const [before, after] = [
      [clean(1), clean(2)],
      [clean(3), clean(4)],
    ] as const
    const found = compare(before, after)
    expect(found.verdict).toBe('same')
    expect(Math.max(-found.change.low!, found.change.high!)).toBeLessThanOrEqual(found.worth)
    const strict = compare(before, after, { worth: Math.max(-found.change.low!, found.change.high!) * 0.99 })
    expect(strict.verdict).not.toBe('same')
  })
  it.each([
    ['change', [0.35, 0.3], [0.2, 0.25]],
    ['no change', [0.2, 0.2], [0.2, 0.2]],
    ['a change of clean running', [0.001, 0.001], [0.05, 0.04]],
  ] as const)('flips exactly when the sides are swapped: %s', (_, own, other) => {
    const before = own.map((share, i) => clip(share, 10 + i))
    const after = other.map((share, i) => clip(share, 20 + i))
    const one = compare(before, after)
    const two = compare(after, before)
    const flipped = { helped: 'worse', worse: 'helped' } as Partial<Record<string, string>>
    expect(two.verdict).toBe(flipped[one.verdict] ?? one.verdict)
    expect([two.change.value, two.change.low, two.change.high]).toEqual([
      -one.change.value!,
      -one.change.high!,
      -one.change.low!,
    ])
    expect(two.chanceBetter!).toBeCloseTo(1 - one.chanceBetter!, 12)
    expect([two.before, two.after]).toEqual([one.after, one.before])
    expect([two.overlap, two.smallestChange, two.toSettle]).toEqual([
      one.overlap,
      one.smallestChange,
      one.toSettle,
    ])
  })
  it('does not compare a recording with itself, however it was made to look like another', () => {
    const { samples, rateHz, notes } = toRecording(decodeWav(readFileSync(fixture('cruise-needle-clip-2'))))
    const whole = analyze({ samples, rateHz, notes })
    const third = analyze(toRecording(decodeWav(readFileSync(fixture('cruise-needle-clip-3')))))
    let last = 0
    const dull = samples.map((x) => {
      last += 0.2 * (x - last)
      return last
    })
    const others = {
      again: samples,
      trimmed: samples.subarray(2 * rateHz, 7 * rateHz),
      quieter: samples.map((x) => 0.2 * x),
      dull,
    }
    for (const [name, other] of Object.entries(others)) {
      const changed = analyze({ samples: other, rateHz, notes })
      expect(codes(compare([whole], [changed])), name).toEqual(['on-both-sides'])
      expect(compare([changed], [whole]).verdict, name).toBe('not-comparable')
      expect(codes(compare([whole, changed], [third])), name).toContain('counted-once')
    }
  })
  it('counts a recording that is given twice once, and one on both sides not at all', () => {
    const [a, b, c, d] = clips(0.3, 1, 2, 3, 4)
    expect(compare([a!, b!, b!], [c!, d!]).change).toEqual(compare([a!, b!], [c!, d!]).change)
    const shared = compare([a!, b!], [b!, c!, d!])
    expect(shared.change).toEqual(compare([a!], [c!, d!]).change)
    expect(shared.reasons[0]!.message).toBe(
      'Clip 2 before the change and clip 1 after it are the same recording, so neither counts.',
    )
  })
  it('knows equal samples as one recording even where loudness does not come and go', () => {
    const samples = Float32Array.from({ length: 8000 }, (_, i) => Math.sin(i))
    const even = (sound: Float32Array) =>
      makeAnalysis(makeTurns(repeatTurn(400, { fired: 1 })), {
        recording: { samples: sound, rateHz: 8000, notes: [] },
      })
    expect(isSameRecording(even(samples), even(samples.slice()))).toBe(true)
    expect(isSameRecording(even(samples), even(samples.map((x) => 0.5 * x)))).toBe(false)
    const silence = new Float32Array(8000)
    expect(isSameRecording(even(silence), even(silence.slice()))).toBe(false)
  })
  it('tells different recordings apart', () => {
    const names = ['cruise-needle-clip-2', 'cruise-needle-clip-3', 'market-square-idle']
    const heard = names.map((name) => analyze(toRecording(decodeWav(readFileSync(fixture(name))))))
    heard.forEach((own, i) => {
      for (const other of heard.slice(i + 1))
        expect(codes(compare([own], [other]))).not.toContain('on-both-sides')
    })
  })
  it.each(['cruise-needle-clip-2', 'cruise-needle-clip-3'])(
    'finds no change between the halves of %s',
    (name) => {
      const file = readFileSync(new URL(`../../../../fixtures/${name}.wav`, import.meta.url))
      const { samples, rateHz } = toRecording(decodeWav(file))
      const half = samples.length / 2
      const [before, after] = [samples.slice(0, half), samples.slice(half)].map((part) =>
        analyze({ samples: part, rateHz, notes: [] }),
      )
      const { verdict, change } = compare([before!], [after!])
      // Where many turns can be heard either way, halves do not compare; what must not be is a verdict.
      expect(['same', 'unclear', 'not-comparable']).toContain(verdict)
      expect(Math.abs(change.value ?? 0)).toBeLessThan(0.1)
    },
  )
})

describe('like with like', () => {
  /** Skips 40 % at 7,500 rpm and hardly at 5,000; `fast` is the share of the time at the former. */
  const ride = (fast: number, seed: number) => {
    const next = seededRandom(seed)
    return steady(
      repeatTurn(2400, (i) => {
        const atSpeed = (i / 200) % 1 < fast
        return {
          rpm: atSpeed ? 7500 : 5000,
          fired: atSpeed && next() < 0.4 ? 0.02 : 0.98,
          pattern: 'irregular',
        }
      }),
    )
  }
  it('does not take another mix of speeds for a change', () => {
    const before = [ride(0.65, 1), ride(0.65, 2)]
    const after = [ride(0.35, 3), ride(0.35, 4)]
    const raw = after[0]!.score.misfireRatio.value! - before[0]!.score.misfireRatio.value!
    expect(raw).toBeLessThan(-0.1)
    const { change, verdict, overlap } = compare(before, after)
    expect(Math.abs(change.value!)).toBeLessThan(0.02)
    expect(['same', 'unclear']).toContain(verdict)
    expect(overlap!).toBeGreaterThan(0.6)
    expect(overlap!).toBeLessThan(0.8)
  })
  it.each([1.25, 1.5, 2])('refuses speeds %f times apart and says so', (factor) => {
    const fast = clip(0.1, 2, 1600, (turn) => ({ ...turn, rpm: 6000 * factor }))
    const { verdict, change, before, reasons, chanceBetter } = compare([clip(0.3, 1)], [fast])
    expect(verdict).toBe('not-comparable')
    expect(change).toEqual({ value: null, low: null, high: null })
    expect(chanceBetter).toBeNull()
    expect(reasons[0]!.code).toBe('other-speed')
    expect(reasons[0]!.message).toContain('6,000')
    expect(reasons[0]!.advice).not.toBeNull()
    expect(reasons.some(({ code }) => code === 'speed-multiple')).toBe(factor !== 1.25)
    expect(before.misfireRatio!).toBeGreaterThan(0.2)
  })
  it('refuses to compare pulling with steady running', () => {
    const { revolutions } = clip(0.3, 1)
    const pulling = makeAnalysis(revolutions, { segments: [oneSegment(revolutions, 'pulling')] })
    const found = compare([pulling], [clip(0.1, 2)])
    expect(found.verdict).toBe('not-comparable')
    expect(found.reasons[0]!.message).toMatch(/pulling is heard before the change and steady running after/)
  })
  it('never counts coasting', () => {
    const mixed = clip(0.1, 1, 1600, (turn, i) => (i < 800 ? turn : { ...turn, fired: 0.5, label: 3 }))
    const [steady] = mixed.segments
    const half = { ...steady!, endS: 8, endTurn: 800 }
    const segments = [half, { ...steady!, startS: 8, firstTurn: 800, kind: 'coasting' as const }]
    const { after } = compare([clip(0.1, 3)], [{ ...mixed, segments }])
    expect(after.turns).toBe(800)
  })
  it('refuses clips that are too short, or without an engine, and leaves out a bad one among good ones', () => {
    const none = makeAnalysis(makeTurns([]))
    expect(codes(compare([clip(0.1, 1, 100)], [clip(0.3, 2)]))).toEqual(['too-few-turns'])
    expect(codes(compare([none], [clip(0.3, 2)]))).toEqual(['no-engine'])
    expect(compare([none], [none])).toMatchObject({ verdict: 'not-comparable', overlap: null })
    const slow = clip(0.3, 3, 1600, (turn) => ({ ...turn, rpm: 3000 }))
    const found = compare([clip(0.3, 1), none, clip(0.3, 4)], [clip(0.1, 5), clip(0.1, 6), slow])
    expect(found.verdict).toBe('helped')
    expect([found.before.passes, found.before.given, found.after.passes]).toEqual([2, 3, 2])
    expect(found.reasons.filter(({ code }) => code === 'pass-left-out').map((r) => r.message)).toEqual([
      expect.stringContaining('Clip 2 before'),
      expect.stringContaining('Clip 3 after'),
    ])
  })
})

describe('what makes it less sure', () => {
  const two = (share: number, from: number) => clips(share, from, from + 1)
  const sure = compare(two(0.4, 1), two(0.3, 3))

  it('turns that noise hides widen the interval and do not shift it', () => {
    const hide = seededRandom(9)
    const noisy = [1, 2].map((seed) =>
      clip(0.3, seed + 2, 1600, (turn) => (hide() < 0.6 ? { ...turn, fired: 0.5, low: 0, high: 1 } : turn)),
    )
    const found = compare(two(0.4, 1), noisy)
    expect(Math.abs(found.change.value! - sure.change.value!)).toBeLessThan(0.03)
    expect(width(found)).toBeGreaterThan(1.5 * width(sure))
    expect(codes(found)).toContain('hidden-turns')
  })
  it('noise that hides only the skips is not taken for a cure', () => {
    const hide = seededRandom(9)
    const masked = [1, 2].map((seed) =>
      clip(0.3, seed, 1600, (turn) =>
        turn.fired! < 0.5 && hide() < 0.7 ? { ...turn, fired: 0.5, low: 0, high: 1 } : turn,
      ),
    )
    expect(compare(two(0.3, 5), masked).verdict).toBe('unclear')
  })
  it('an open crank speed: the other reading is covered', () => {
    const open = { startS: 0, endS: 16, ambiguous: true, alternativeFactor: 0.5, readingProbability: 0.6 }
    const [one, other] = [0, 1].map((seed) => ({
      ...clip(0.45, 7 + seed),
    }))
    const unsure = [one!, other!].map((a) =>
      makeAnalysis(a.revolutions, { stretches: [open], segments: a.segments }),
    )
    const settled = compare(two(0.05, 1), [one!, other!])
    const found = compare(two(0.05, 1), unsure)
    expect(settled.verdict).toBe('worse')
    expect(found.verdict).toBe('unclear')
    expect(found.change.low!).toBeLessThan(0)
    expect(codes(found)).toContain('speed-open')
  })
  it.each([
    ['settled by clips of the same side at the speed it was heard at', 6000, false],
    ['left open by clips that run at another speed', 9000, true],
    ['left open by clips at the other speed that fits', 3000, true],
  ])('an open crank speed of one clip: %s', (_, rpm, open) => {
    const unsure = { startS: 0, endS: 16, ambiguous: true, alternativeFactor: 0.5, readingProbability: 0.6 }
    const { revolutions, segments } = clip(0.45, 7)
    const doubtful = makeAnalysis(revolutions, { stretches: [unsure], segments })
    const other = clip(0.45, 8, 1600, (turn) => ({ ...turn, rpm }))
    const found = compare(two(0.05, 1), [doubtful, other])
    expect(codes(found).includes('speed-open')).toBe(open)
    expect(found.verdict === 'worse').toBe(!open)
  })
  it.each([
    ['settled by the other side, which surely ran at the speed heard', 6000, 0.7, ['speed-settled']],
    ['left open where the speed heard is hardly likelier than the other', 6000, 0.6, ['speed-open']],
    ['left open where the other side ran at both', 3000, 0.7, ['speed-open']],
  ])('an open crank speed of one side: %s', (_, rpm, readingProbability, told) => {
    const unsure = { startS: 0, endS: 16, ambiguous: true, alternativeFactor: 0.5, readingProbability }
    const { revolutions, segments } = clip(0.45, 7)
    const doubtful = makeAnalysis(revolutions, { stretches: [unsure], segments })
    const sure = [clip(0.05, 1), clip(0.05, 2), clip(0.05, 3, 1600, (turn) => ({ ...turn, rpm }))]
    for (const [found, changed] of [
      [compare(sure, [doubtful]), 'worse'],
      [compare([doubtful], sure), 'helped'],
    ] as const) {
      expect(codes(found).filter((code) => code.startsWith('speed'))).toEqual(told)
      expect(found.verdict === changed).toBe(told[0] === 'speed-settled')
    }
  })
  it('a crank speed that both sides leave open alike is read alike on both', () => {
    const open = (share: number, seed: number, alternativeFactor: number) => {
      const stretch = { startS: 0, endS: 16, ambiguous: true, alternativeFactor, readingProbability: 0.6 }
      const { revolutions, segments } = clip(share, seed)
      return makeAnalysis(revolutions, { stretches: [stretch], segments })
    }
    const doubled = compare([open(0.1, 7, 2)], [open(0.7, 8, 2)])
    expect(codes(doubled)).toContain('speed-open')
    expect(doubled.verdict).toBe('worse')
    expect(compare([open(0.1, 7, 2)], [open(0.7, 8, 0.5)]).verdict).toBe('unclear')
    const halved = compare([open(0.1, 7, 0.5)], [open(0.45, 8, 0.5)])
    expect(halved.verdict).toBe('unclear')
    expect(halved.change.low!).toBeLessThan(0)
  })
  it('two kinds of turn of which it is not known which fires', () => {
    const thirds = (skipped: Turn, fired: Turn) =>
      steady(repeatTurn(1500, (i) => ({ pattern: 'every-third', ...(i % 3 === 0 ? skipped : fired) })))
    const bounds = { low: 0.03, high: 0.97 }
    const told = compare([thirds({ fired: 0.03 }, { fired: 0.97 })], two(0.05, 1))
    const untold = compare([thirds({ fired: 0.35, ...bounds }, { fired: 0.65, ...bounds })], two(0.05, 1))
    expect(told.verdict).toBe('helped')
    expect(width(untold)).toBeGreaterThan(2 * width(told))
    expect(codes(untold)).toContain('which-fires')
  })
  it('passes that differ among themselves', () => {
    const steady = compare(clips(0.3, 1, 2, 3), clips(0.2, 4, 5, 6))
    const wild = [0.1, 0.3, 0.5].map((share, i) => clip(share, i + 1))
    const found = compare(wild, clips(0.2, 4, 5, 6))
    expect(width(found)).toBeGreaterThan(2 * width(steady))
    expect(codes(found)).toContain('passes-differ')
  })
  it('one stray clip makes no change, however alike the clips of the other side are', () => {
    const calm = clips(0.08, 4, 5, 6)
    const stray = [clip(0.08, 1), clip(0.7, 2), clip(0.08, 3)]
    expect(compare(calm, stray).verdict).toBe('unclear')
    expect(compare(calm, clips(0.3, 1, 2, 3)).verdict).toBe('worse')
  })
  it('a recording of one side alone that can hide skips: no verdict, whichever side it is', () => {
    const dull = (analysis: Analysis): Analysis => {
      const { quality } = analysis
      const narrow = {
        code: 'narrow-band' as const,
        message: 'The sound is dull.',
        advice: 'Use a recorder.',
      }
      return { ...analysis, quality: { ...quality, hindrances: [narrow] } }
    }
    const [many, few] = [clips(0.4, 1, 2), clips(0.05, 3, 4)]
    expect(compare(many, few).verdict).toBe('helped')
    for (const found of [compare(many, few.map(dull)), compare(few.map(dull), many)]) {
      expect(found.verdict).toBe('unclear')
      expect(codes(found)[0]).toBe('poor-side')
      expect(found.reasons[0]!.message).toContain('the sound is dull.')
      expect(found.reasons[0]!.advice).toBe('Use a recorder.')
    }
    // What both sides share hides alike, and one good clip is enough to hear by.
    expect(compare(many.map(dull), few.map(dull)).verdict).toBe('helped')
    expect(compare(many, [dull(few[0]!), few[1]!]).verdict).toBe('helped')
  })
  it('leaves out a recording with holes', () => {
    const holed = (analysis: Analysis): Analysis => {
      const holes = { code: 'holes' as const, message: 'The recording has holes.', advice: 'Record again.' }
      return { ...analysis, quality: { ...analysis.quality, hindrances: [holes] } }
    }
    const [many, few] = [clips(0.4, 1, 2), clips(0.05, 3, 4)]
    for (const found of [compare(many.map(holed), few.map(holed)), compare(many, few.map(holed))]) {
      expect(found.verdict).toBe('not-comparable')
      expect(codes(found)).toContain('holes')
    }
    const left = compare([holed(many[0]!), many[1]!], few)
    expect(left.verdict).toBe('helped')
    expect(left.before.passes).toBe(1)
    expect(left.reasons.find(({ code }) => code === 'pass-left-out')!.message).toBe(
      'Clip 1 before the change is left out: the recorder lost some of its sound.',
    )
  })
  it('doubt on one side alone widens it more than doubt on both', () => {
    const doubtful = (share: number, seed: number) =>
      clip(share, seed, 1600, (turn) => ({ ...turn, fired: turn.fired! < 0.5 ? 0.15 : 0.85 }))
    const apart = compare([clip(0.3, 1)], [doubtful(0.3, 2)])
    const alike = compare([doubtful(0.3, 1)], [doubtful(0.3, 2)])
    expect(width(apart)).toBeGreaterThan(width(alike))
    expect(width(alike)).toBeGreaterThan(width(compare([clip(0.3, 1)], [clip(0.3, 2)])))
  })
  it('one clip a side is less sure than two, and says so', () => {
    const one = compare([clip(0.4, 1)], [clip(0.3, 3)])
    expect(codes(one)).toContain('one-pass')
    expect(width(one)).toBeGreaterThan(width(sure))
    expect(codes(sure)).not.toContain('one-pass')
  })
})

describe('what would settle it', () => {
  it('asks for more clips, which then do it', () => {
    const found = compare(clips(0.3, 1), clips(0.23, 2))
    expect(found.verdict).toBe('unclear')
    const { passes, runningS } = found.toSettle!
    expect(runningS).toBeCloseTo(16 * passes, 0)
    expect(found.smallestWithOneMore!).toBeLessThan(found.smallestChange!)
    const seeds = Array.from({ length: passes + 1 }, (_, i) => 2 * i)
    const more = compare(
      seeds.map((seed) => clip(0.3, seed + 1)),
      seeds.map((seed) => clip(0.23, seed + 2)),
    )
    expect(width(more)).toBeLessThan(width(found))
    expect(more.verdict).toBe('helped')
    expect(more.toSettle).toBeNull()
  })
})

describe('the interval', () => {
  /** Share of 200 pairs of two clips a side whose interval holds the true change, and how many are called changed. */
  function hold(before: number, after: number) {
    let held = 0
    let called = 0
    for (let pair = 0; pair < 200; pair++) {
      const at = 1000 + 4 * pair
      const { change, verdict } = compare(
        [clip(before, at, 800), clip(before, at + 1, 800)],
        [clip(after, at + 2, 800), clip(after, at + 3, 800)],
      )
      if (change.low! <= after - before && after - before <= change.high!) held++
      if (verdict === 'helped' || verdict === 'worse') called++
    }
    return { held: held / 200, called: called / 200 }
  }
  // 95 % less two and a half standard errors of 200 pairs: 0.911; 5 % and as much more: 0.089.
  it.each([0.02, 0.1, 0.3, 0.5])('holds no change at %f, and calls it none', (share) => {
    const { held, called } = hold(share, share)
    expect(held).toBeGreaterThan(0.911)
    expect(called).toBeLessThan(0.089)
  })
  it('holds a change, and sees it', () => {
    const { held, called } = hold(0.35, 0.15)
    expect(held).toBeGreaterThan(0.911)
    expect(called).toBeGreaterThan(0.9)
  })
})

describe('options', () => {
  it('are refused when they make no sense', () => {
    const one = clip(0.3, 1)
    for (const worth of [0, 1, -0.1, Number.NaN])
      expect(() => compare([one], [one], { worth })).toThrow(OptionError)
    expect(() => compare([], [one])).toThrow(OptionError)
    expect(compare([one], [one]).loudness).toBeNull()
    expect(compare([one], [one], { sameGain: true }).loudness).not.toBeNull()
  })
})
