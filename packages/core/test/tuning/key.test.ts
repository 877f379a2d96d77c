import { describe, expect, it } from 'vitest'
import { KNOBS, knobNamed, parseKnobValue } from '../../src/tuning/index.js'
import { advice, inShort, USUAL } from './written.js'

const { 'ignition timing': _, ...REST } = USUAL
const SET = { ...REST, 'flywheel key': '0 mm' }
const ENGINE = { shaft: '15 mm', key: '3 mm', rotation: 'clockwise', flywheel: '90 mm' }
const RIDES = [
  { skips: 40, head: 165, air: 15 },
  { change: 'needle clip 2 -> 3 from bottom', skips: 40, head: 175, air: 15 },
]

describe('the flywheel key as a knob', () => {
  it('is read with the way the spark went', () => {
    const key = knobNamed('flywheel key')!
    expect(parseKnobValue(key, '0.5 mm later').value).toBe(0.5)
    expect(parseKnobValue(key, '0.02in earlier').value).toBeCloseTo(-0.508, 9)
    expect(parseKnobValue(key, '0 mm').value).toBe(0)
    expect(() => parseKnobValue(key, '0.5 mm')).toThrowError(/does not say which way the spark went/)
    expect(() => parseKnobValue(key, '0.5 later')).toThrowError(/has no unit/)
    expect(() => parseKnobValue(key, '4 mm later')).toThrowError(/cannot be/)
    expect(KNOBS.find(({ name }) => name === 'flywheel key')!.harm).toEqual(['later spark', 'earlier spark'])
  })
  it('is suggested with face, degrees, what is left, and the mark on the rim', () => {
    const said = advice({ set: SET, engine: ENGINE, rides: RIDES })
    const key = said.find(({ change }) => change?.knob === 'flywheel key')!
    expect(inShort(key)).toMatch(/flywheel key 0 (mm )?-> 0\.25 mm later/)
    const text = key.evidence.join(' ')
    // 0.25 mm on a shaft of 15 mm: 360 · 0.25 / (15 π) = 1.91°, on a rim of 90 mm 1.5 mm; 1.25 of 1.5 mm are left.
    expect(text).toMatch(/0\.25 mm off the leading face.*on the right.*cannot be undone.*1\.5 mm in all/)
    expect(text).toMatch(
      /about 1\.9° with all the play used, 1\.5 mm on the rim.*then 1\.25 mm may still come off/,
    )
    // Degrees are not suggested beside it: the key is what turns them.
    expect(said.some(({ change }) => change?.knob === 'ignition timing')).toBe(false)
  })
  it('asks for the shaft where the log does not know it, and never goes beyond its limit', () => {
    const blind = advice({ set: SET, rides: RIDES }).find(({ change }) => change?.knob === 'flywheel key')!
    expect(blind.evidence.join(' ')).toMatch(/write shaft under engine/)
    const done = advice({ set: { ...SET, 'flywheel key': '1.5 mm later' }, engine: ENGINE, rides: RIDES })
    expect(done.some(({ change }) => change?.knob === 'flywheel key')).toBe(false)
  })
})
