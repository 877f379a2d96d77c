/** What seized, rattled or ran too hot once is the end of going leaner, whatever was mended since. */
import { describe, expect, it } from 'vitest'
import { judgeState } from '../../src/tuning/guard/index.js'
import { historyOf, readLog } from '../../src/tuning/index.js'
import { advice, inShort, type Ride, USUAL, type WrittenHistory, writtenLog } from './written.js'

const SET = { ...USUAL, 'ignition timing': '24 deg', squish: '1.3 mm' }
const OK: Ride = { skips: 43, head: 180, air: 12 }
const LEANER = 'needle clip 2 -> 3 from bottom'
const RUIN: Ride = { change: LEANER, skips: 27, head: 188, air: 12, trouble: 'seized' }
const HERE: Ride = { skips: 26, head: 188, air: 12, trouble: 'none' }
const BACK: Ride = { ...OK, change: 'needle clip 3 -> 2 from bottom', trouble: 'none' }

const harmful = (written: WrittenHistory) =>
  advice(written)
    .filter(({ leaner, hotter, change }) => leaner || (hotter && change?.knob !== 'ignition timing'))
    .map(inShort)

describe('after a leaner step that made trouble, mended since', () => {
  it.each<[string, Ride[]]>([
    ['ridden again at that setting', [OK, RUIN, HERE]],
    ['it seized, misspelt', [OK, { ...RUIN, trouble: 'siezed' }, HERE]],
    ['its piston melted', [OK, { ...RUIN, trouble: 'melted the piston' }, HERE]],
    ['it jammed', [OK, { ...RUIN, trouble: 'engine jammed' }, HERE]],
    ['it rattled', [OK, { ...RUIN, trouble: 'rattles on the hill' }, HERE]],
    [
      'many rides ago',
      [OK, RUIN, HERE, { skips: 26, head: 187, air: 12 }, { skips: 27, head: 188, air: 12 }],
    ],
    [
      'it was so as built',
      [
        { ...OK, trouble: 'seized' },
        { ...OK, trouble: 'none' },
      ],
    ],
  ])('nothing leaner or tighter is suggested, by any knob: %s', (_, rides) => {
    expect(harmful({ set: SET, rides })).toEqual([])
  })
  it('nothing leaner or tighter is suggested where it was gone back from', () => {
    expect(harmful({ set: SET, rides: [OK, RUIN, BACK] })).toEqual([])
  })
  it('it is named', () => {
    for (const rides of [
      [OK, RUIN, HERE],
      [OK, RUIN, BACK],
    ])
      expect(advice({ set: SET, rides })[0]!.evidence[0]).toContain(
        'Trial 2 reported trouble (seized): nothing harsher than that is suggested, whatever was mended since.',
      )
    expect(advice({ set: SET, rides: [OK] })[0]!.evidence[0]).not.toContain('trouble')
  })
  it('its own setting may be ridden once it went well there', () => {
    const { log } = readLog(writtenLog({ set: SET, rides: [OK, RUIN, HERE, { ...BACK, trouble: 'none' }] }))
    expect(judgeState(historyOf(log), log.trials[1]!.setting).allowed).toBe(true)
  })
  it('leaner by one knob stays open where another was set richer than it', () => {
    const rides = [OK, RUIN, HERE, { ...OK, change: 'main jet 70 -> 76', trouble: 'none' }]
    const { log } = readLog(writtenLog({ set: SET, rides }))
    const target = new Map([...log.trials[3]!.setting, ['main jet', { text: '74', value: 74 }]])
    expect(judgeState(historyOf(log), target)).toMatchObject({ allowed: true, harms: ['leaner'] })
  })
  it('smoke or a loose part is no lean end', () => {
    const rides = [OK, { ...RUIN, trouble: 'white smoke' }, HERE]
    expect(harmful({ set: SET, rides })[0]).toBe('needle clip 3 -> 4 from bottom')
  })
})

describe('after a leaner step that ran the head over its limit, and was gone back from', () => {
  const AGAIN: Ride = { ...OK, change: 'needle clip 3 -> 2 from bottom' }
  const HOT: Ride = { change: LEANER, skips: 30, head: 235, air: 12 }
  const leaner = (rides: readonly Ride[]) =>
    advice({ set: SET, rides })
      .filter((suggestion) => suggestion.leaner)
      .map(inShort)

  it('nothing leaner is suggested, by any knob', () => {
    expect(leaner([OK, AGAIN])).not.toEqual([])
    expect(leaner([OK, HOT, AGAIN])).toEqual([])
  })
  it('until that setting was ridden and stayed cool', () => {
    const rides = [OK, HOT, { skips: 30, head: 190, air: 12 }, AGAIN]
    expect(leaner(rides)).not.toEqual([])
  })
})
