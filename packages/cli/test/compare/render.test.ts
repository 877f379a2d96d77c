import { type Analysis, compare } from '@everyrev/core'
import { describe, expect, it } from 'vitest'
import { compareJson } from '../../src/render/compareJson.js'
import { compareText } from '../../src/render/compareText.js'
import { handMadeAnalysis, type Span } from '../check/handMadeAnalysis.js'
import { compareSchemaErrors } from '../check/schema.js'

/** The cargo bicycle at cruise (invented): `turns` as in the hand-made analysis. */
function cruise(turns: string, more: Partial<Span> = {}): Analysis {
  return handMadeAnalysis([
    {
      kind: 'steady',
      durationS: 20,
      speedRpm: 4600,
      pattern: 'irregular',
      turns,
      interval: [0.1, 0.2],
      ...more,
    },
  ])
}
const MANY = 'fsfsfsffsfsf'
const FEW = 'fffffffffffffffffffsffffffff'
const files = { before: ['a.m4a', 'b.m4a'], after: ['c.m4a', 'd.m4a'] }
const two = (turns: string) => [cruise(turns), cruise(turns)]
const said = (...sides: Parameters<typeof compare>) => compareText(compare(...sides), 80).replace(/\s+/g, ' ')

describe('compare as text', () => {
  it('says what helped and by how much, and warns of the lean side', () => {
    const text = said(two(MANY), two(FEW))
    expect(text).toMatch(
      /^The change helped\. It skipped 4\d % of its turns before the change and skips \d % after/,
    )
    expect(text).toMatch(/about \d\d points fewer \(between \d\d and \d\d\)/)
    expect(text).toContain('leaner mixture skips less and runs hotter')
    expect(said(two(FEW), two(MANY))).toMatch(/^The change made it worse\..* points more/)
    expect(said(two(FEW), two(MANY))).not.toContain('lean')
  })
  it('names bounds where the share of a side is too vague for its middle', () => {
    const comparison = compare(two(MANY), two(FEW))
    const before = { ...comparison.before, misfireRatio: 0.38, interval: { low: 0.15, high: 0.62 } }
    const text = compareText({ ...comparison, before }, 80)
    expect(text.replace(/\s+/g, ' ')).toMatch(
      /It skipped 15 to 62 % of its turns before the change and skips \d %/,
    )
    expect(text).toMatch(/^skipped +15 to 62 % +\d % \(/m)
    expect(text).not.toContain('38 %')
  })
  it('says `same` with the distance that is still possible', () => {
    expect(said(two('f'), two('f'), { worth: 0.08 })).toMatch(
      /^The change made no difference worth noticing\. .* at most [\d.]+ points apart, and 8 points would be/,
    )
  })
  it('says what is open, and what would settle it', () => {
    const text = said([cruise('fffsfffff')], [cruise('fffsfffffffff')])
    expect(text).toMatch(/cannot be told yet\. .*probably between \d+ points fewer and \d+ points more\./)
    expect(text).toMatch(/The chance that it is better is \d\d %/)
    expect(text).toMatch(/- The clips cannot tell a change smaller than about \d+ points from none/)
    expect(text).toContain('Record two or three clips on each side.')
  })
  it('says first why recordings do not compare, and names the option that helps', () => {
    const text = said(two(MANY), [cruise(FEW, { speedRpm: 9200 })])
    expect(text).toMatch(
      /^These recordings cannot be compared\. Before the change it runs at about 4,600 rpm/,
    )
    expect(text).toContain('--expect-rpm LOW-HIGH')
    expect(text.match(/speeds that far apart/g)).toHaveLength(1)
  })
  it('keeps within 80 columns', () => {
    for (const after of [
      two(FEW),
      [cruise(FEW), cruise('u'), cruise(FEW)],
      [cruise(FEW, { speedRpm: 9200 })],
    ]) {
      const lines = compareText(compare(two(MANY), after, { sameGain: true }), 80).split('\n')
      expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80)
    }
  })
  it('shows figures as n/a without an interval, and changes of them in the same unit', () => {
    const uneven = (share: number): Analysis => {
      const analysis = cruise(FEW)
      return { ...analysis, segments: analysis.segments.map((s) => ({ ...s, unevenness: share, popDb: 3 })) }
    }
    const one = compareText(compare([uneven(0.01)], [uneven(0.02)]), 80)
    expect(one).toMatch(/^uneven speed +1\.0 % +2\.0 % +\+1\.0 points \(n\/a\)$/m)
    const more = compareText(
      compare([uneven(0.01), uneven(0.012)], [uneven(0.02), uneven(0.022)], { sameGain: true }),
      80,
    )
    expect(more).toMatch(/^uneven speed +1\.1 % +2\.1 % +\+1\.0 points \(\+0\.4 to \+1\.6\)$/m)
    expect(more).toMatch(/^pop +3\.0 dB +3\.0 dB +0\.0 dB \(0\.0 to 0\.0\)$/m)
  })
})

describe('compare --json', () => {
  it.each([
    ['a change', compare(two(MANY), two(FEW))],
    ['an open case', compare([cruise('fffsfffff')], [cruise('fffsfffffffff')], { sameGain: true })],
    ['other speeds', compare(two(MANY), [cruise(FEW, { speedRpm: 9200 })])],
    [
      'no engine',
      compare([handMadeAnalysis([{ kind: 'stopped', durationS: 3 }], { verdict: 'no-engine' })], two(FEW)),
    ],
  ])('keeps to the published schema: %s', (_, comparison) => {
    expect(compareSchemaErrors(compareJson(comparison, files))).toEqual([])
  })
  it('is refused by the schema when a field is missing, misspelt or out of range', () => {
    const good = compareJson(compare(two(MANY), two(FEW)), files)
    const { chanceBetter, ...missing } = good
    expect(chanceBetter).toBeGreaterThan(0.99)
    expect(compareSchemaErrors(missing)).not.toEqual([])
    expect(compareSchemaErrors({ ...good, verdict: 'better' })).not.toEqual([])
    expect(compareSchemaErrors({ ...good, before: { ...good.before, misfireRatio: 1.2 } })).not.toEqual([])
  })
  it('carries change, interval and files of both sides', () => {
    const { change, before, after, verdict } = compareJson(compare(two(MANY), two(FEW)), files)
    expect(verdict).toBe('helped')
    expect(change.value).toBeCloseTo(after.misfireRatio! - before.misfireRatio!, 3)
    expect(before.interval!.low).toBeLessThan(before.misfireRatio!)
    expect([before.files, after.files]).toEqual([files.before, files.after])
  })
})
