/** The squish as it is: a gasket taken out since it was measured has made it narrower. */
import { describe, expect, it } from 'vitest'
import { historyOf, readLog, squishAt } from '../../src/tuning/index.js'
import { advice, inShort, type Ride, type WrittenHistory, writtenLog } from './written.js'

const SET = { 'needle clip': '1 from bottom', squish: '1.3 mm', gasket: '1 mm', plug: 'new' }
const OK: Ride = { skips: 25, head: 160, air: 12, pattern: 'irregular' }
const THINNER: Ride = { ...OK, skips: 24, head: 162, change: 'gasket 1 -> 0.8 mm' }
const about = (written: WrittenHistory) =>
  advice(written)
    .map(inShort)
    .filter((text) => text.includes('squish'))

describe('the squish that advice starts from', () => {
  it('is what the gaskets taken out since have left', () => {
    expect(about({ set: SET, rides: [OK] })).toEqual(['squish 1.3 -> 1.1 mm'])
    expect(about({ set: SET, rides: [OK, THINNER] })).toEqual(['squish 1.1 -> 0.9 mm'])
  })
  it('is as measured again since', () => {
    const rides = [OK, THINNER, { ...OK, skips: 20, change: 'squish 1.1 -> 1.2 mm' }]
    expect(about({ set: SET, rides })).toEqual(['squish 1.2 -> 1 mm'])
  })
  it('is not gone on from where one would first have to go back to it', () => {
    const rides = [OK, THINNER, { ...OK, skips: 40, change: 'squish 1.1 -> 1.2 mm' }]
    expect(about({ set: SET, rides }).filter((text) => text.includes('-> 0.9 mm'))).toEqual([])
  })
  it('leads to none under the least, and is not known where the gasket is not', () => {
    expect(about({ set: { ...SET, squish: '1.1 mm' }, rides: [OK, THINNER] })).toEqual([])
    expect(about({ set: SET, rides: [OK, { ...OK, skips: 20, change: 'gasket to 0.8 mm' }] })).toEqual([
      'squish 1.1 -> 0.9 mm',
    ])
    const { gasket: _, ...unwritten } = SET
    expect(about({ set: unwritten, rides: [OK, { ...OK, skips: 20, change: 'gasket to 0.8 mm' }] })).toEqual(
      [],
    )
  })
})

it('a step of the squish from what the gasket left is no slip of the pen', () => {
  const warned = (change: string) =>
    readLog(writtenLog({ set: SET, rides: [OK, THINNER, { ...OK, change }] })).warnings.map(
      ({ code }) => code,
    )
  expect(warned('squish 1.1 -> 0.9 mm')).toEqual([])
  expect(warned('squish 1.3 -> 0.9 mm')).toEqual([])
  expect(warned('squish 1.2 -> 0.9 mm')).toEqual(['from-differs'])
})

it('every ride keeps the squish that it had, and a squish not in the log is one just measured', () => {
  const rides = [
    OK,
    THINNER,
    { ...OK, change: 'squish 1.1 -> 1 mm' },
    { ...OK, change: 'gasket 0.8 -> 0.7 mm' },
  ]
  const { log } = readLog(writtenLog({ set: SET, rides }))
  const history = historyOf(log)
  const expected = [1.3, 1.1, 1, 0.9]
  for (const [i, { setting }] of log.trials.entries())
    expect(squishAt(history, setting)).toBeCloseTo(expected[i]!, 9)
  const fresh = new Map([...log.trials[3]!.setting, ['squish', { text: '0.85 mm', value: 0.85 }]])
  expect(squishAt(history, fresh)).toBeCloseTo(0.85, 9)
})
