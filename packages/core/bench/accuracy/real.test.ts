import { describe, expect, it } from 'vitest'
import { UNSURE } from '../../src/labels/types.js'
import type { Judged } from './judged.js'
import { crankHzAt, type RealSpan } from './labelled.js'
import { heardAt, heardRightly, truthFrom } from './madeUpAnalysis.js'
import { scoreReal } from './real.js'
import { stateKind } from './states.js'

/** One second at 100 turns a second, from 1 s on. */
const span = (changes: Partial<RealSpan> = {}): RealSpan => ({
  startS: 1,
  endS: 2,
  kind: 'engine',
  crankHz: [
    [1, 100],
    [2, 100],
  ],
  speedConfidence: 'sure',
  firing: 'clean',
  firingConfidence: 'sure',
  pattern: 'none',
  ...changes,
})
const heard = (letters: string) => heardRightly(truthFrom(letters.repeat(100 / letters.length)))
const stateOf = (changes: Partial<RealSpan>, letters: string) =>
  scoreReal([span(changes)], heard(letters)).states[0]

describe('states', () => {
  const alternate = { firing: 'alternate', pattern: 'period-2' } as const
  const third = { firing: 'mixed', pattern: 'period-3' } as const
  it.each([
    [{}, 'F', true],
    [{}, 'FFFFS', false],
    [alternate, 'FS', true],
    [alternate, 'F', false],
    [alternate, 'FSSSS', false],
    [third, 'FFFS', true],
    [third, 'FSSS', true],
    [third, 'FFFFFFFFFS', false],
    [{ firing: 'mixed', pattern: 'irregular' }, 'FFFS', true],
    [{ firing: 'mixed', pattern: 'irregular' }, 'F', false],
  ] as const)('%o heard as %s: %s', (changes, letters, right) => {
    expect(stateOf(changes, letters)?.right).toBe(right)
  })

  it('is wrong at half the speed, clean as it may look', () => {
    const analysis = heardAt(0.5, truthFrom('F'.repeat(100)))
    expect(scoreReal([span()], analysis).states[0]).toMatchObject({ right: false, skipped: null })
  })
  it('is wrong where fewer than half of the turns were found', () => {
    const half = heardRightly(truthFrom('F'.repeat(45)))
    expect(scoreReal([span()], half).states[0]).toMatchObject({ right: false, skipped: null })
  })
  it('is not judged when shorter than six turns or left open', () => {
    expect(scoreReal([span({ endS: 1.05 })], heard('F')).states).toEqual([])
    expect(stateOf({ firing: 'unclear', firingConfidence: 'unclear' }, 'F')).toBeUndefined()
  })
  it('has its kind from the pattern', () => {
    const kinds = ['period-3 then irregular', 'period-2/3 braid', 'period-4', 'irregular/weak']
    expect(kinds.map((pattern) => stateKind(span({ firing: 'mixed', pattern })))).toEqual([
      'every third',
      'every third',
      'every fourth',
      'irregular',
    ])
  })
})

describe('states not heard rightly', () => {
  const open = (changes: Partial<RealSpan>, analysis: Judged) =>
    scoreReal([span(changes)], analysis).states[0]?.open
  const alternate = { firing: 'alternate', pattern: 'period-2' } as const

  it('are claimed where turns are sure and the interval keeps away', () => {
    expect(open({}, heard('FFFS'))).toBe(false)
    expect(open(alternate, heard('F'))).toBe(false)
  })
  it('are open where the interval reaches into what is right', () => {
    const analysis = heard('F')
    const misfireRatio = { value: 0, low: 0, high: 0.4, turns: 100 }
    const segments = analysis.segments.map((segment) => ({ ...segment, misfireRatio }))
    expect(open(alternate, { ...analysis, segments })).toBe(true)
  })
  it('are open where most turns are unsure, or are missing', () => {
    const analysis = heard('F')
    const label = new Uint8Array(100).fill(UNSURE)
    expect(open(alternate, { ...analysis, revolutions: { ...analysis.revolutions, label } })).toBe(true)
    expect(open(alternate, { ...analysis, verdict: 'no-engine' })).toBe(true)
    expect(open(alternate, heardRightly(truthFrom('F'.repeat(45))))).toBe(true)
  })
  it('are claimed at another speed, unless the right one is named beside it', () => {
    const half = heardAt(0.5, truthFrom('F'.repeat(100)))
    const stretches = half.speed.stretches.map((s) => ({ ...s, ambiguous: true, alternativeFactor: 2 }))
    expect(open(alternate, half)).toBe(false)
    expect(open(alternate, { ...half, speed: { ...half.speed, stretches } })).toBe(true)
  })
  it('are never open when right', () => {
    expect(open({}, heard('F'))).toBe(false)
  })
})

describe('speed', () => {
  it('counts frames 10 ms apart, by the confidence of the label', () => {
    const result = scoreReal([span(), span({ speedConfidence: 'likely' })], heard('F'))
    expect([result.sure.right, result.likely.right]).toEqual([100, 100])
  })
  it('calls 3 % off right, 5 % off wrong, a third a multiple, and outside the turns missing', () => {
    const at = (factor: number) => scoreReal([span()], heardAt(factor, truthFrom('F'.repeat(100)))).sure
    expect(at(1.03).right).toBeGreaterThan(98)
    expect(at(1.05).off).toBeGreaterThan(98)
    expect(at(1 / 3).wrong).toBeGreaterThan(97)
    expect(scoreReal([span({ endS: 3 })], heard('F')).sure.missing).toBeGreaterThan(97)
  })
})

describe('overrun', () => {
  const overrun = span({ firing: 'unclear', firingConfidence: 'unclear', regime: 'overrun' })
  it('must not pass as clean running', () => {
    expect(scoreReal([overrun], heard('F')).overrun).toEqual({ spans: 1, calledClean: 1 })
  })
  it('passes when called coasting, or when most turns are no firings', () => {
    const analysis = heard('F')
    const segments = analysis.segments.map((s) => ({ ...s, kind: 'coasting' as const, misfireRatio: null }))
    expect(scoreReal([overrun], { ...analysis, segments }).overrun.calledClean).toBe(0)
    expect(scoreReal([overrun], heard('FS')).overrun.calledClean).toBe(0)
  })
})

it('reads the labelled speed along straight lines', () => {
  const crankHz = [
    [1, 100],
    [2, 200],
    [4, 100],
  ] as const
  expect([0, 1, 1.25, 2, 3.9, 9].map((at) => crankHzAt({ crankHz }, at))).toEqual([
    100, 100, 125, 200, 105, 100,
  ])
})
