import { describe, expect, it } from 'vitest'
import {
  addTrial,
  changesBetween,
  changeText,
  knobNamed,
  newLogText,
  parseChange,
  readLog,
} from '../../src/tuning/index.js'
import { valueText } from '../../src/tuning/valueText.js'

/** A change as written, and the values it leads from and to. */
const WRITTEN: readonly [text: string, from: number, to: number][] = [
  ['main jet 70 -> 72', 70, 72],
  ['main jet 70 -> 72.5', 70, 72.5],
  ['main jet 68.5 -> 70.5', 68.5, 70.5],
  ['main jet 72,5 -> 70', 72.5, 70],
  ['main jet: 70,5 -> 72,5', 70.5, 72.5],
  ['main jet 141/2 -> 72', 70.5, 72],
  ['main jet 70 -> 145/2', 70, 72.5],
  ['ignition timing 23.5 -> 21,5', 23.5, 21.5],
  ['ignition timing 23.5 -> 21,5 deg', 23.5, 21.5],
  ['ignition timing 22 -> 43/2°', 22, 21.5],
  ['ignition timing 22.5° -> 21.5°', 22.5, 21.5],
  ['needle clip 2 -> 2.5 from bottom', 2, 2.5],
  ['needle clip 2,5 -> 3 from the bottom', 2.5, 3],
  ['needle clip 5/2 -> 3 from top', 2.5, 3],
  ['air screw 1.5 -> 3/2 turns', 1.5, 1.5],
  ['air screw 3/2 -> 2', 1.5, 2],
  ['plug gap 0.6 -> 0.55 mm', 0.6, 0.55],
  ['plug gap 0,6 mm -> 0,55mm', 0.6, 0.55],
  ['plug gap 1/40 -> 0.03 in', 0.635, 0.762],
  ['squish .8 -> .9 mm', 0.8, 0.9],
  ['premix 25:1 -> 32.5:1', 25, 32.5],
  ['premix 25 -> 32.5:1', 25, 32.5],
  ['premix 1:25 -> 1:32', 25, 32],
  ['engine sprocket 10 -> 11', 10, 11],
  ['engine sprocket 10 -> 11 teeth', 10, 11],
  ['flywheel key 0 -> 0.25 mm later', 0, 0.25],
  ['flywheel key 0.25 -> 0,5 mm later', 0.25, 0.5],
  ['flywheel key 0.01 -> 0.02 in later', 0.254, 0.508],
  ['flywheel key 0.02 in earlier -> 0 mm', -0.508, 0],
]

it.each([
  ['spark plug gap 0.6 -> 0.5 mm', 'plug gap'],
  ['spark gap 0.6 -> 0.5 mm', 'plug gap'],
  ['electrode gap: 0.6 -> 0.5 mm', 'plug gap'],
  ['spark plug: new', 'plug'],
  ['spark 22 -> 20 deg', 'ignition timing'],
  ['jet needle clip 2 -> 3 from bottom', 'needle clip'],
])('other names of a knob: %s', (text, knob) => {
  expect(parseChange(text).change.knob).toBe(knob)
})

describe('numbers of a change', () => {
  it.each(WRITTEN)('“%s” leads from %d to %d, and is written so that it is read again', (text, from, to) => {
    const { change } = parseChange(text)
    expect(change.from!.value).toBeCloseTo(from, 9)
    expect(change.to.value).toBeCloseTo(to, 9)
    const again = parseChange(changeText(change)).change
    expect([again.from!.value, again.to.value]).toEqual([change.from!.value, change.to.value])
  })

  it('is written with the unit once where both values have it, and whole where there is none', () => {
    const written = (text: string) => changeText(parseChange(text).change)
    expect(written('main jet 68.5 -> 70.5')).toBe('main jet 68.5 -> 70.5')
    expect(written('ignition timing 23,5° -> 21,5°')).toBe('ignition timing 23,5 -> 21,5°')
    expect(written('needle clip 2 -> 2.5 from bottom')).toBe('needle clip 2 -> 2.5 from bottom')
    expect(written('exhaust 3 mm plate -> 5 mm plate')).toBe('exhaust 3 mm plate -> 5 mm plate')
    expect(written('plug gap 0.5mm -> 0.0006m')).toBe('plug gap 0.5mm -> 0.0006m')
  })

  it('goes there, back again and on through a log', () => {
    const settings = { 'main jet': '68.5', 'ignition timing': '23.5', 'needle clip': '5/2 from bottom' }
    let log = newLogText({ engine: { name: 'invented' }, settings })
    const add = (...change: string[]) => {
      log = addTrial(log, { date: '2026-04-03', change, head: '170 °C' })
      return readLog(log).log.trials
    }
    add()
    add('main jet 68.5 -> 70.5', 'ignition timing 23.5 -> 21,5', 'needle clip 2.5 -> 3 from bottom')
    const [first, , third] = add('main jet 70.5 -> 72,5')
    const back = changesBetween(third!.setting, first!.setting).map(changeText)
    const last = add(...back).at(-1)!
    const values = (name: string) => last.setting.get(name)!.value
    expect(['ignition timing', 'needle clip'].map(values)).toEqual([23.5, 2.5])
    expect(values('main jet')).toBe(68.5)
    expect(readLog(log).warnings.map(({ code }) => code)).toEqual([])
    const jet = knobNamed('main jet')!
    const from = last.setting.get('main jet')!
    const to = { text: valueText(jet, 70.5, from), value: 70.5 }
    expect(changeText({ knob: jet.name, from, to })).toBe('main jet 68.5 -> 70.5')
  })
})
