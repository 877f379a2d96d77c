import type { CompareVerdict } from '@everyrev/core'
import { describe, expect, it } from 'vitest'
import { pairTasks, readPairOptions } from './options.js'
import { failedPair, type PairOutcome } from './outcome.js'
import { reportPairs } from './report.js'
import { summarisePairs } from './summary.js'
import type { Change } from './types.js'

function pair(
  change: Change,
  truth: number | null,
  verdict: CompareVerdict,
  low: number,
  high: number,
): PairOutcome {
  const said = { verdict, change: { value: (low + high) / 2, low, high }, reasons: [] }
  return { ...failedPair({ source: 'first', change, seed: 1 }, ''), error: null, truth, all: said, one: said }
}
const PAIRS = [
  pair('none', 0, 'unclear', -0.05, 0.04),
  pair('none', 0, 'same', -0.02, 0.02),
  pair('none', 0, 'helped', -0.06, -0.01),
  pair('large', -0.2, 'helped', -0.3, -0.1),
  pair('large', -0.2, 'worse', 0.1, 0.3),
  pair('large', 0.2, 'worse', 0.1, 0.15),
  failedPair({ source: 'first', change: 'large', seed: 2 }, 'thrown'),
  failedPair({ source: 'first', change: 'speeds', seed: 2 }, 'thrown'),
]

describe('summary of pairs', () => {
  it('counts calls by whether they go the right way, and intervals that hold the truth', () => {
    const of = (change: Change) =>
      summarisePairs(
        PAIRS.filter(({ task }) => task.change === change),
        'all',
      )
    expect(of('none')).toMatchObject({
      pairs: 3,
      right: 0,
      wrong: 1,
      same: 1,
      unclear: 1,
      intervals: 3,
      held: 2,
    })
    expect(of('large')).toMatchObject({
      pairs: 4,
      right: 2,
      wrong: 1,
      notComparable: 1,
      intervals: 3,
      held: 1,
    })
    expect(of('none').width).toBeCloseTo(0.05, 9)
  })
  it('is held against what is asked', () => {
    const text = reportPairs(PAIRS, false)
    expect(text).toMatch(/no change, called helped or worse.* 33\.3 \(1 of 3\) +missed/)
    expect(text).toMatch(/called the wrong way: none +25\.0 \(1 of 4\) +missed/)
    expect(text).toMatch(/speeds, not comparable: all +100\.0 \(1 of 1\) +met/)
    expect(text).toMatch(/twins.*n\/a \(0 of 0\) +n\/a/)
  })
})

describe('a run', () => {
  it('has at least 300 pairs, both simulators alike, every kind, and no seed of tuning', () => {
    const tasks = pairTasks(readPairOptions([])!)
    expect(tasks.length).toBeGreaterThanOrEqual(300)
    expect(tasks.every(({ seed }) => seed >= 9000)).toBe(true)
    expect(new Set(tasks.map((task) => JSON.stringify(task))).size).toBe(tasks.length)
    const count = (source: string, change: string) =>
      tasks.filter((task) => task.source === source && task.change === change).length
    for (const source of ['first', 'second'])
      expect(['none', 'small', 'large', 'speeds', 'twins'].map((change) => count(source, change))).toEqual([
        56, 48, 48, 12, 8,
      ])
  })
})
