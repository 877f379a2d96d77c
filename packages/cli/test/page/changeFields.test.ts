import { KNOBS, parseChange } from '@everyrev/core/tuning'
import { describe, expect, it } from 'vitest'
import {
  changeOfFields,
  fieldsForKnob,
  KNOB_NAMES,
  NO_CHANGE,
  NOTHING_CHANGED,
  unitsOfKnob,
  withUnit,
} from '../../src/page/trial/changeFields.js'

/** Two numbers within the range of a knob. */
const VALUES: Readonly<Record<string, readonly [string, string]>> = {
  'needle clip': ['2', '3'],
  'main jet': ['70', '68'],
  'air screw': ['1.5', '2'],
  'plug gap': ['0.5', '0,6'],
  'flywheel key': ['0', '0.5'],
  squish: ['1', '0.8'],
  gasket: ['0.2', '0.4'],
}

describe('the fields of a change', () => {
  it.each([...KNOB_NAMES])('make a text the log reads as %s', (name) => {
    const units = unitsOfKnob(name)
    const [from, to] = units === null ? ['as it came', 'drilled'] : (VALUES[name] ?? ['20', '22'])
    for (const unit of units === null || units.length === 0 ? [''] : units) {
      const inches = unit.startsWith('in')
      const [first, last] = inches ? ['0.02', '0.03'] : [from, to]
      const made = changeOfFields({ knob: name, from: first, to: last, fromUnit: unit, toUnit: unit })
      const { change, problem } = parseChange((made as { text: string }).text)
      expect(problem).toBeNull()
      expect(change.knob).toBe(name)
      const number = (text: string) => Number(text.replace(',', '.')) * (inches ? 25.4 : 1)
      if (units !== null) {
        const sign = unit.endsWith('earlier') ? -1 : 1
        expect(change.to.value).toBeCloseTo(sign * number(last), 9)
        expect(change.from!.value).toBeCloseTo(sign * number(first), 9)
      } else expect([change.from!.text, change.to.text]).toEqual([from, to])
      // What the log then says stands there fills the next form.
      const next = fieldsForKnob(name, change.to.text)
      expect(withUnit(next.from, next.fromUnit)).toBe(change.to.text)
    }
  })

  it('offer every knob of the log, each with a unit where it needs one', () => {
    expect(KNOB_NAMES).toEqual(KNOBS.map(({ name }) => name))
    for (const { name, kind } of KNOBS) expect(unitsOfKnob(name) === null).toBe(kind === 'words')
  })

  it('say what is lacking', () => {
    expect(changeOfFields(NO_CHANGE)).toHaveProperty('lacks')
    expect(changeOfFields({ ...NO_CHANGE, knob: 'main jet', from: '70' })).toHaveProperty('lacks')
    expect(changeOfFields({ ...NO_CHANGE, knob: 'main jet', from: '70', to: '70' })).toHaveProperty('lacks')
    expect(changeOfFields({ ...NO_CHANGE, knob: NOTHING_CHANGED })).toEqual({ text: '' })
    expect(changeOfFields({ ...NO_CHANGE, knob: 'main jet', to: '68' })).toEqual({ text: 'main jet to 68' })
  })

  it('leave a unit that was typed, and put the chosen one behind a bare number', () => {
    expect(['176', '349 F', '', ' 14,5 '].map((text) => withUnit(text, '°C'))).toEqual([
      '176 °C',
      '349 F',
      '',
      '14,5 °C',
    ])
  })
})
