/** Advice for a day whose air is said, on rides whose air is not in the log. */
import { describe, expect, it } from 'vitest'
import { dangersOf } from '../../src/tuning/guard/index.js'
import { historyOf, readLog } from '../../src/tuning/index.js'
import { advice, inShort, type Ride, writtenLog } from './written.js'

const SET = { 'needle clip': '2 from bottom', 'main jet': '70' }
const said = (rides: readonly Ride[], today?: number) =>
  advice({ set: SET, rides, ...(today !== undefined && { today }) })
const AIRLESS: Ride = { skips: 43, head: 194 }

describe('a head that was read in an air nobody wrote down', () => {
  it('stops on a hot day as one that was read in cold air does', () => {
    expect(said([{ ...AIRLESS, air: 12 }], 40).map(inShort)).toEqual([
      'halt: needle clip 2 -> 1 from bottom (guard)',
    ])
    const [halt, ...more] = said([AIRLESS], 40)
    expect(more).toEqual([])
    expect(inShort(halt!)).toBe('halt: needle clip 2 -> 1 from bottom (guard)')
    expect(halt!.evidence[0]).toMatch(
      /^Trial 1 ran at 194 °C in an air that is not in the log; today, at 40 °C, that may be 224 °C, only 8 °C under .* Enter the air of trial 1 if you know it\.$/,
    )
  })
  it('gives no more leave than the same head in any air of 10 °C and more', () => {
    for (const today of [-5, 5, 12, 20, 28, 36])
      for (let air = 10; air <= 40; air += 5)
        for (const head of [170, 180, 188, 194, 200]) {
          const dares = (ride: Ride) =>
            said([ride], today).some(({ kind, leaner }) => kind === 'change' && leaner)
          const stops = (ride: Ride) => said([ride], today)[0]!.kind === 'halt'
          const [known, unknown] = [
            { skips: 43, head, air },
            { skips: 43, head },
          ]
          if (dares(unknown)) expect(dares(known), `${head} °C, air ${air}, today ${today}`).toBe(true)
          if (stops(known)) expect(stops(unknown), `${head} °C, air ${air}, today ${today}`).toBe(true)
        }
  })
  it('is allowed for in words', () => {
    const [first] = said([AIRLESS], 15)
    expect(first!.leaner).toBe(false)
    expect(first!.evidence[0]).toContain(
      'head 194 °C (up to about 204 °C in today’s air, as that of trial 1 is not in the log), 28 °C under the limit',
    )
    const two = said(
      [
        { skips: 30, head: 180, air: 15 },
        { skips: 43, head: 185, change: 'main jet 70 -> 72' },
      ],
      15,
    )
    expect(two[0]!.evidence.join(' ')).toContain(
      'The air of trial 2 is not in the log, so its head counts as up to 195 °C in today’s.',
    )
  })
  it('is taken as it is where nobody says what air it is today', () => {
    expect(said([AIRLESS])[0]).toMatchObject({ rule: 'leaner-needle' })
    const { log } = readLog(writtenLog({ set: SET, rides: [{ ...AIRLESS, head: 200 }] }))
    expect(dangersOf(historyOf(log))).toEqual([])
    expect(dangersOf(historyOf(log, undefined, 15)).map(({ kind }) => kind)).toEqual(['hot'])
  })
})

describe('a day much colder than the last ride', () => {
  const COLDER =
    'Today is 40 °C colder than trial 1 was, which makes it leaner by itself: ride it as it is before anything leaner.'
  const told = (ride: Ride, today?: number) => said([ride], today).flatMap(({ evidence }) => evidence)
  it('is told with what is suggested', () => {
    expect(told({ skips: 43, head: 170, air: 30 }, -10)).toContain(COLDER)
  })
  it.each<[string, Ride, number?]>([
    ['one a little colder', { skips: 43, head: 170, air: 15 }, 6],
    ['a warmer one', { skips: 43, head: 150, air: 5 }, 30],
    ['one nobody told the air of', { skips: 43, head: 170, air: 30 }],
    ['one after a ride of unknown air', { skips: 43, head: 170 }, -10],
  ])('but not %s', (_, ride, today) => {
    expect(told(ride, today).join(' ')).not.toContain('colder')
  })
})
