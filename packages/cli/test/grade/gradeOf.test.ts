import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { GRADE_CLASSES, gradeOf, gradeOfRatio } from '../../src/grade/gradeOf.js'
import { saidOf } from '../../src/render/shareSentence.js'
import { checkOf } from './rows.js'

const graded = (value: number, low: number, high: number) => {
  const { grade, sure } = gradeOfRatio({ value, low, high, turns: 500 })
  return sure ? grade : `${grade}?`
}

describe('gradeOf', () => {
  it.each([
    [0, 0, 0.01, 'runs-clean'],
    [0.02, 0, 0.06, 'runs-clean'],
    [0.03, 0, 0.15, 'runs-clean?'],
    [0.1, 0.07, 0.15, 'skips-now-and-then'],
    [0.33, 0.28, 0.4, 'four-strokes'],
    [0.5, 0.46, 0.54, 'four-strokes-hard'],
    [0.5, 0.4, 0.6, 'four-strokes-hard?'],
    [0.72, 0.6, 0.8, 'four-strokes-hard'],
    [0.3, 0.15, 0.5, 'unsure?'],
    [0.1, 0.03, 0.25, 'unsure?'],
    [0.7, 0.46, 0.9, 'unsure?'],
  ])('%s (%s to %s) is %s', (value, low, high, expected) => {
    expect(graded(value, low, high)).toBe(expected)
  })

  it('forces no clip into a class when it has no figure or no interval', () => {
    for (const [value, low, high] of [
      [null, null, null],
      [null, 0.1, 0.2],
      [0.1, null, null],
    ] as const) {
      expect(gradeOfRatio({ value, low, high, turns: 9 })).toEqual({
        grade: 'unsure',
        sure: false,
        why: null,
      })
    }
  })

  it('says why a clip is not judged', () => {
    const why = (given: Parameters<typeof checkOf>[1]) => gradeOf(checkOf([0.3, 0.2, 0.4], given)).why
    expect(why({ verdict: 'no-engine', reason: 'other-sound' })).toBe('no engine heard')
    expect(why({ verdict: 'unusable', reason: 'too-quiet' })).toBe('too quiet')
    const { steady } = checkOf([0.3, 0.28, 0.32])
    expect(why({ steady: { ...steady, durationS: 0 } })).toBe('no steady running')
    expect(why({ steady: { ...steady, durationS: 1.99 } })).toBe('too little steady running, record longer')
    expect(why({ steady: { ...steady, durationS: 2 } })).toBeNull()
  })

  it('is surer, never otherwise graded, as the interval narrows about its value', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(share, share, share, share, (value, a, b, narrowing) => {
        const wide = gradeOfRatio({ value, low: value * a, high: value + (1 - value) * b, turns: 1 })
        const [low, high] = [value - value * (1 - a) * narrowing, value + (1 - value) * b * narrowing]
        const narrow = gradeOfRatio({ value, low, high, turns: 1 })
        if (wide.grade !== 'unsure') expect(narrow.grade).toBe(wide.grade)
        if (wide.sure) expect(narrow.sure).toBe(true)
      }),
    )
  })

  it('agrees with the words of check on what is unsure; a figure stands alone only where it is sure', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(share, share, share, (value, a, b) => {
        const ratio = { value, low: value * a, high: value + (1 - value) * b, turns: 500 }
        const { figure, sureness } = saidOf(ratio, null)
        if (/Very unsure|any share/.test(sureness)) expect(gradeOfRatio(ratio).grade).toBe('unsure')
        if (/^\d+ %/.test(figure ?? '')) expect(ratio.high - ratio.low).toBeLessThanOrEqual(0.12)
      }),
    )
  })

  it('has classes in rising order from 0, whose names tell them apart', () => {
    expect(GRADE_CLASSES[0]!.from).toBe(0)
    const froms = GRADE_CLASSES.map(({ from }) => from)
    expect(froms).toEqual([...froms].sort((a, b) => a - b))
    expect(new Set(GRADE_CLASSES.map(({ words }) => words)).size).toBe(GRADE_CLASSES.length)
  })
})
