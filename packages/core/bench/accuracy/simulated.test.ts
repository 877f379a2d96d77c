import { describe, expect, it } from 'vitest'
import { FIRED, SKIPPED, UNSURE } from '../../src/labels/types.js'
import { heardAt, heardRightly, truthFrom } from './madeUpAnalysis.js'
import { scoreSimulated } from './simulated.js'
import { skippedShare } from './truth.js'

const truth = truthFrom('FSFPSFSSFF'.repeat(4))
const right = heardRightly(truth)

/** The same analysis with other labels. */
const relabelled = (label: ArrayLike<number>) => ({
  ...right,
  revolutions: { ...right.revolutions, label: Uint8Array.from(label) },
})

describe('a perfect ear', () => {
  const score = scoreSimulated(truth, right)
  it('gets everything', () => {
    expect(score).toMatchObject({
      measured: true,
      reading: 'right',
      speed: { right: 40, open: 0, wrong: 0, off: 0, missing: 0 },
      labels: { turns: 40, right: 40, unsure: 0, missing: 0 },
      extraTurns: 0,
      segments: { count: 1, held: 1 },
    })
    expect(score.ratio.value).toBeCloseTo(score.ratio.truth, 6)
  })
  it('would do worse one turn off', () => {
    expect(Math.max(...score.shiftedRight)).toBeLessThan(30)
  })
})

describe('half and double speed', () => {
  it('counts as wrong everywhere', () => {
    for (const factor of [0.5, 2, 1.5, 1 / 3]) {
      const score = scoreSimulated(truth, heardAt(factor, truth))
      expect(score.speed.wrong).toBeGreaterThanOrEqual(39)
      expect(score.speed.right).toBe(0)
      expect(score.labels).toMatchObject({ right: 0, missing: 40 })
      expect(score.reading).toBe('wrong')
    }
  })
  it('is open when the right speed is named as the other reading, and only then', () => {
    const named = (alternativeFactor: number) => {
      const analysis = heardAt(0.5, truth, { ambiguous: true, alternativeRpm: 3000 * alternativeFactor })
      const stretches = analysis.speed.stretches.map((s) => ({ ...s, ambiguous: true, alternativeFactor }))
      return scoreSimulated(truth, { ...analysis, speed: { ...analysis.speed, stretches } })
    }
    expect(named(2)).toMatchObject({ reading: 'open', speed: { open: 40, wrong: 0 } })
    expect(named(3)).toMatchObject({ reading: 'wrong', speed: { open: 0, wrong: 40 } })
  })
  it('is told from a speed that is merely off', () => {
    expect(scoreSimulated(truth, heardAt(1.1, truth)).speed.off).toBeGreaterThanOrEqual(39)
  })
})

describe('labels', () => {
  it('lets a partial burn pass as partial or by its larger part, not as the other', () => {
    const all = (label: number) =>
      scoreSimulated(truthFrom('P'.repeat(20)), labelledAlike(label)).labels.right
    const labelledAlike = (label: number) => {
      const heard = heardRightly(truthFrom('P'.repeat(20)))
      return { ...heard, revolutions: { ...heard.revolutions, label: new Uint8Array(20).fill(label) } }
    }
    expect([2, FIRED, SKIPPED, UNSURE].map(all)).toEqual([20, 20, 0, 0])
  })
  it('counts unsure as wrong, and apart', () => {
    const score = scoreSimulated(truth, relabelled(new Uint8Array(40).fill(UNSURE)))
    expect(score.labels).toEqual({ turns: 40, right: 0, unsure: 40, missing: 0 })
  })
  it('shows a slip by one turn in the shifted figures', () => {
    const { label } = right.revolutions
    const slipped = scoreSimulated(truth, relabelled(label.map((_, i) => label[i + 1] ?? UNSURE)))
    expect(slipped.labels.right).toBeLessThan(30)
    expect(slipped.shiftedRight[0]).toBeGreaterThanOrEqual(38)
  })
  it('leaves coasting out, and counts coasting turns called fired', () => {
    const coasting = truthFrom('FFFFCCCCCC')
    const heard = heardRightly(coasting)
    const allFired = {
      ...heard,
      revolutions: { ...heard.revolutions, label: new Uint8Array(10).fill(FIRED) },
    }
    const score = scoreSimulated(coasting, allFired)
    expect(score.labels).toMatchObject({ turns: 4, right: 4 })
    expect(score.coasting).toEqual({ turns: 6, calledFired: 6 })
    const [segment] = allFired.segments
    const told = { ...allFired, segments: [{ ...segment!, kind: 'coasting' as const, misfireRatio: null }] }
    expect(scoreSimulated(coasting, told).coasting.calledFired).toBe(0)
  })
})

it('finds nothing where no engine was found, whatever the turns say', () => {
  const score = scoreSimulated(truth, { ...right, verdict: 'no-engine' })
  expect(score).toMatchObject({
    reading: 'not found',
    speed: { missing: 40 },
    labels: { right: 0, missing: 40 },
  })
  expect(score.ratio.value).toBeNull()
})

it('counts a partial burn in the ratio with what was not burnt, coasting not at all', () => {
  // Two fired, one skipped, one burnt to 0.6: (0 + 0 + 1 + 0.4) / 4; by half: 1 / 4.
  const share = skippedShare(truthFrom('FFSPCC'))
  expect(share.turns).toBe(4)
  expect(share.soft).toBeCloseTo(0.35, 6)
  expect(share.hard).toBeCloseTo(0.25, 6)
})

it('counts found turns while nothing turns', () => {
  const short = truthFrom('F'.repeat(20))
  expect(scoreSimulated(short, heardRightly(truthFrom('F'.repeat(30)))).extraTurns).toBe(9)
})
