/** What the guard must never let through, and what it must not invent; through the file and all its checks. */
import { describe, expect, it } from 'vitest'
import { dangersOf, LEAST_SQUISH_MM } from '../../src/tuning/guard/index.js'
import { bigStepWarnings, historyOf, outsideWarnings, readLog } from '../../src/tuning/index.js'
import { sameSetting } from '../../src/tuning/setting.js'
import { advice, inShort, type Ride, RULES, USUAL, type WrittenHistory, writtenLog } from './written.js'

const single: Partial<Ride> = { pattern: 'irregular' }
const said = (written: WrittenHistory): string[] => advice(written).map(inShort)
const trialsOf = (written: WrittenHistory) => readLog(writtenLog(written)).log.trials
const dangers = (written: WrittenHistory, todayC?: number) =>
  dangersOf(historyOf(readLog(writtenLog(written)).log, undefined, todayC))

describe('a thinner gasket', () => {
  const set = (squish: string | undefined, gasket: string) => ({
    ...USUAL,
    ...(squish === undefined ? {} : { squish }),
    gasket,
  })
  const rides: Ride[] = [{ skips: 30, head: 150, ...single }]
  const thinner = (written: WrittenHistory) => said(written).filter((text) => text.startsWith('gasket'))

  it('is suggested where the squish leaves room for it', () => {
    expect(thinner({ set: set('1.2 mm', '1.2 mm'), rides })).toEqual(['gasket 1.2 -> 1 mm'])
  })
  it.each(['0.4 mm', '0.9 mm'])('is not where the squish would fall below the least: %s', (squish) => {
    expect(thinner({ set: set(squish, '0.8 mm'), rides })).toEqual([])
  })
  it('is not where nobody knows the squish', () => {
    const { squish: _, ...unknown } = USUAL
    expect(thinner({ set: { ...unknown, gasket: '1.2 mm' }, rides })).toEqual([])
  })
  it('takes off the squish what was taken out before, until it is measured again', () => {
    const twice: Ride[] = [
      { skips: 30, head: 150, ...single },
      { change: 'gasket 1.2 -> 1 mm', skips: 25, head: 152, ...single },
    ]
    expect(thinner({ set: set('1.1 mm', '1.2 mm'), rides: twice })).toEqual([])
    const measured: Ride = { change: 'squish 1.1 -> 1.3 mm', skips: 24, head: 153, ...single }
    expect(thinner({ set: set('1.1 mm', '1.2 mm'), rides: [...twice, measured] })).toEqual([
      'gasket 1 -> 0.8 mm',
    ])
  })
  it('knows the least squish that the rules know', () => {
    expect(RULES.bounds.squish![0]).toBe(LEAST_SQUISH_MM)
  })
})

describe('“trouble: none”', () => {
  const hotter: Ride[] = [
    { skips: 50, head: 160, trouble: 'none' },
    { skips: 20, head: 195, trouble: 'none' },
  ]
  it('on every ride hides neither a head that climbs nor an engine that leans', () => {
    const kinds = dangers({ rides: hotter }).map(({ kind }) => kind)
    expect(kinds).toContain('climbing')
    expect(kinds).toContain('leaning')
  })
  it('after a reported trouble begins anew', () => {
    const mended: Ride[] = [
      { skips: 50, head: 160, trouble: 'seized' },
      { skips: 20, head: 195, trouble: 'none' },
    ]
    expect(dangers({ rides: mended })).toEqual([])
  })
})

describe('a change that does not say from where', () => {
  const { 'main jet': _, ...set } = USUAL
  it('is a change: it leads to another setting, and no engine is said to have leaned by itself', () => {
    const rides: Ride[] = [
      { skips: 45, head: 150 },
      { change: 'main jet to 60', skips: 20, head: 155 },
    ]
    const [before, after] = trialsOf({ set, rides })
    expect(sameSetting(before!.setting, after!.setting)).toBe(false)
    expect(dangers({ set, rides }).map(({ kind }) => kind)).not.toContain('leaning')
  })
})

it('a hot head is told with the air of the ride that it was read on', () => {
  const rides: Ride[] = [
    { skips: 30, head: 203, air: 10 },
    { skips: 30, head: 190 },
    { skips: 30, air: 20 },
  ]
  const [hot] = dangers({ rides }, 20)
  expect(hot).toMatchObject({ kind: 'hot', trial: { number: 1 } })
  expect(hot!.found).toContain('Trial 1 ran at 203 °C in air of 10 °C; today, at 20 °C')
})

it('half a key stays, and a narrow one keeps nothing else from being said', () => {
  const written = (keyMm: number): WrittenHistory => ({
    set: { 'flywheel key': `${keyMm} mm later`, 'plug gap': '0.8 mm' },
    engine: { key: '1.5 mm', shaft: '10 mm' },
    rides: [
      { skips: 30, head: 150 },
      { skips: 30, head: 151 },
    ],
  })
  expect(said(written(0.25)).some((text) => text.startsWith('flywheel key'))).toBe(true)
  const late = said(written(0.75))
  expect(late.filter((text) => text.startsWith('flywheel key') && text.endsWith('later'))).toEqual([])
  expect(late.length).toBeGreaterThan(0)
})

it('a value written as a fraction is suggested as the value that was judged', () => {
  const set = { ...USUAL, 'needle clip': '5/2 from bottom' }
  expect(said({ set, rides: [{ skips: 30, head: 150 }] })[0]).toBe('needle clip 5/2 -> 3.5 from bottom')
})

describe('the way out of danger', () => {
  const hot: Ride[] = [
    { skips: 40, head: 184, air: 15 },
    { skips: 40, head: 240, air: 15 },
    { change: 'needle clip 2 -> 3 from bottom', skips: 10, head: 210, air: 15 },
  ]
  it('leads to no setting that ran too hot on any ride, but richer than all of them', () => {
    expect(said({ rides: hot })).toEqual(['halt: needle clip 3 -> 1 from bottom (guard)'])
  })
  it.each<[string, string, Ride[]]>([
    ['a step', 'needle clip 2 -> 1 from bottom', [{ skips: 40, head: 240, air: 15 }]],
    ['two steps', 'needle clip 3 -> 1 from bottom', hot],
    [
      '3 steps',
      'needle clip 4 -> 1 from bottom',
      [...hot, { change: 'needle clip 3 -> 4 from bottom', skips: 9, head: 215, air: 15 }],
    ],
  ])('says how far it goes: %s richer', (steps, change, rides) => {
    expect(advice({ rides })[0]!.say).toContain(`Before it runs again set it ${steps} richer: ${change}.`)
  })
  it('leads rather to a setting whose head was read', () => {
    const rides: Ride[] = [
      { skips: 40, head: 170, air: 15 },
      { change: 'needle clip 2 -> 1.5 from bottom', skips: 40, air: 15 },
      { change: 'needle clip 1.5 -> 3 from bottom', skips: 10, head: 215, air: 15 },
    ]
    expect(said({ rides })).toEqual(['halt: needle clip 3 -> 2 from bottom (guard)'])
  })
})

describe('a setting that can ruin an engine', () => {
  it.each([
    ['ignition timing', '45 deg', 'ignition timing 45 -> 30 deg'],
    ['premix', '100:1', 'premix 100 -> 40:1'],
    ['squish', '0.3 mm', 'squish 0.3 -> 0.8 mm'],
    ['main jet', '32', 'main jet 32 -> 40'],
  ])('is brought back first, and nothing leaner or hotter goes on top: %s %s', (knob, value, wanted) => {
    const suggestions = advice({ set: { ...USUAL, [knob]: value }, rides: [{ skips: 40, head: 170 }] })
    expect(inShort(suggestions[0]!)).toBe(wanted)
    expect(suggestions.filter(({ leaner, hotter }) => leaner || hotter)).toEqual([])
  })
  it('is warned of where the way there was too long at once, unless it was ridden before', () => {
    const warned = (...changes: string[]) => {
      const rides = [{ skips: 40 }, ...changes.map((change) => ({ change, skips: 40 }))]
      const { log } = readLog(writtenLog({ rides }))
      return log.trials
        .flatMap((trial) => bigStepWarnings(log, trial))
        .map(({ trial, message }) => `${trial}: ${message}`)
    }
    expect(warned('main jet 70 -> 40')[0]).toMatch(/^2: the main jet went 15 steps leaner at once.*go back/)
    expect(warned('premix 25:1 -> 40:1')[0]).toMatch(/^2: the premix went 3 steps towards less oil at once/)
    expect(warned('ignition timing 22 -> 28 deg')[0]).toMatch(/went 3 steps earlier at once/)
    expect(warned('squish 1 -> 0.4 mm')[0]).toMatch(/went 3 steps tighter at once/)
    for (const harmless of ['main jet 70 -> 66', 'main jet 70 -> 90', 'ignition timing 22 -> 14 deg'])
      expect(warned(harmless)).toEqual([])
    expect(warned('main jet 70 -> 90', 'main jet 90 -> 70')).toEqual([])
  })
  it('is warned of where it came about: as built, or with the step that led there', () => {
    const warned = (written: WrittenHistory) =>
      trialsOf(written).map((trial) =>
        outsideWarnings(trial, RULES).map(({ message }) => message.slice(0, 16)),
      )
    const early = 'ignition timing '
    const rides: Ride[] = [{ skips: 40 }, { change: 'main jet 70 -> 32', skips: 30 }, { skips: 30 }]
    expect(warned({ set: { ...USUAL, 'ignition timing': '45 deg' }, rides })).toEqual([
      [early],
      ['main jet 32 lies'],
      [],
    ])
  })
  it('is not one with much oil, or with a late spark', () => {
    for (const set of [
      { ...USUAL, premix: '12:1' },
      { ...USUAL, 'ignition timing': '8 deg' },
    ])
      expect(advice({ set, rides: [{ skips: 40, head: 170 }] }).map(({ rule }) => rule)).not.toContain(
        'bounds',
      )
  })
})
