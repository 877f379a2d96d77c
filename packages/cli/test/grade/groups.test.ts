import { describe, expect, it } from 'vitest'
import { groupRows, parseGroupBy } from '../../src/grade/groups.js'
import { sortRows } from '../../src/grade/order.js'
import { refusedRow } from '../../src/grade/row.js'
import { groupText } from '../../src/render/groupText.js'
import { rowWith } from './rows.js'

const refused = (file: string, group: string | null = null) =>
  refusedRow(file, group, { code: 'unreadable', message: 'is damaged', hint: null })

describe('parseGroupBy', () => {
  it.each([
    ['folder', 'spring/needle-2/ride.m4a', 'spring/needle-2'],
    ['folder', 'ride.m4a', '.'],
    ['needle-(\\w+)', 'spring/needle-clip2 hill.m4a', 'clip2'],
    ['needle-\\d', 'spring/needle-2 hill.m4a', 'needle-2'],
    ['needle-(\\d)', 'needle-7/market.m4a', '(others)'], // the name, not the folder
    ['(a)|b', 'b.wav', 'b'],
  ])('%s of %s is %s', (text, file, group) => {
    expect(parseGroupBy(text)(file)).toBe(group)
  })

  it('refuses what is no regular expression', () => {
    expect(() => parseGroupBy('needle-(')).toThrow(SyntaxError)
  })
})

describe('groupRows', () => {
  const rows = [
    rowWith('a/1.wav', 0.1, { group: 'a' }),
    rowWith('a/2.wav', 0.3, { group: 'a' }),
    rowWith('a/3.wav', 0.9, { group: 'a', grade: 'unsure' }),
    refused('a/4.wav', 'a'),
    rowWith('b/1.wav', 0.6, { group: 'b' }),
    refused('c/1.wav', 'c'),
  ]

  it('pools all figures, puts the worst group first, and takes best and worst from the graded', () => {
    const [b, a, c] = groupRows(rows)
    expect([a!.name, a!.files, a!.pooled.clips, a!.best?.file, a!.worst?.file]).toEqual([
      'a',
      4,
      3,
      'a/1.wav',
      'a/2.wav',
    ])
    expect(a!.pooled.value).toBeCloseTo(1.3 / 3, 9)
    expect(b).toMatchObject({ name: 'b', files: 1, pooled: { value: 0.6, low: null, high: null } })
    expect(c).toMatchObject({ name: 'c', best: null, worst: null, pooled: { value: null, clips: 0 } })
  })

  it('counts copies of a recording once, also encoded anew, and says how many there are', () => {
    const heard = { durationS: 7.2, steadyS: 7.2, speedRpm: 4699.4, group: 'a' }
    const skipped = { value: 0.4041, low: 0.2467, high: 0.5615, turns: 561 }
    const ride = rowWith('a/ride.wav', 0.4, { ...heard, skipped })
    const copy = { ...ride, file: 'a/ride copy.wav' }
    const encoded = {
      ...ride,
      file: 'a/ride.ogg',
      durationS: 7.25,
      speedRpm: 4699,
      skipped: { value: 0.412, low: 0.3003, high: 0.5236, turns: 561 },
    }
    const [alone] = groupRows([encoded, ride, copy])
    expect(alone).toMatchObject({ files: 3, copies: 2, pooled: { clips: 1, low: null, high: null } })
    expect(groupText([alone!]).slice(1)).toEqual(['40 % (n/a)  1 of 3 files, 2 copies  a'])

    const others = [
      { ...ride, file: 'a/longer.wav', durationS: 9 },
      { ...ride, file: 'a/faster.wav', speedRpm: 4710 },
      { ...ride, file: 'a/cleaner.wav', skipped: { ...skipped, value: 0.37 } },
    ]
    const [all] = groupRows([ride, copy, ...others])
    expect(all).toMatchObject({ files: 5, copies: 1, pooled: { clips: 4 } })
    expect(all!.pooled.high! - all!.pooled.low!).toBeGreaterThan(0.5615 - 0.2467)
  })

  it('leaves files without a figure alone', () => {
    const [group] = groupRows([refused('c/1.wav', 'c'), refused('c/2.wav', 'c')])
    expect(group).toMatchObject({ files: 2, copies: 0 })
  })

  it('reads as text', () => {
    expect(groupText(groupRows(rows)).slice(1)).toEqual([
      '60 % (n/a)  1 of 1 file   b',
      '0 to 100 %  3 of 4 files  a',
      '    best 10 % a/1.wav',
      '    worst 30 % a/2.wav',
      '-           0 of 1 file   c',
      'Which of two runs better, like with like: everyrev compare --before CLIPS --after CLIPS (or a folder each)',
    ])
    const one = groupText(groupRows(rows.filter(({ group }) => group === 'b')))
    expect(one.join(' ')).not.toContain('compare')
  })
})

describe('sortRows', () => {
  const rows = [
    refused('clip 2.wav'),
    rowWith('clip 10.wav', 0.2, { speedRpm: 3000 }),
    rowWith('clip 9.wav', 0.2, { speedRpm: 5000 }),
    rowWith('clip 1.wav', 0.5, { speedRpm: 4000 }),
    rowWith('clip 3.wav', 0.9, { grade: 'unsure', speedRpm: null }),
    rowWith('clip 4.wav', 0, { grade: 'not-judged', speedRpm: null }),
  ]
  it.each([
    ['worst', [1, 9, 10, 3, 4, 2]],
    ['best', [9, 10, 1, 3, 4, 2]],
    ['name', [1, 2, 3, 4, 9, 10]],
    ['rpm', [9, 1, 10, 2, 3, 4]],
  ] as const)('%s', (key, expected) => {
    const order = (given: typeof rows) => sortRows(given, key).map(({ file }) => Number(/\d+/.exec(file)))
    expect(order(rows)).toEqual(expected)
    expect(order([...rows].reverse())).toEqual(expected)
  })
})
