/** Millimetres of piston travel taken for degrees. */
import { describe, expect, it } from 'vitest'
import { checkTiming, LEAST_TIMING_DEG, readLog } from '../../src/tuning/index.js'
import { advice, inShort, type Ride, USUAL, writtenLog } from './written.js'

const SET = { ...USUAL, 'ignition timing': '1.8' }
const OK: Ride = { skips: 43, head: 170, air: 12 }

describe('an ignition timing that cannot be degrees', () => {
  it.each(['1.8', '1.8 deg', '0', '4.9°'])('is refused where it is entered: %s', (text) => {
    const refusal = { code: 'out-of-range', hint: expect.stringContaining('everyrev bench timing') }
    for (const enter of [
      () => checkTiming({ timing: text }),
      () => checkTiming({}, [`ignition timing 18 deg -> ${text}`]),
      () => checkTiming({}, [`spark to ${text}`]),
    ])
      expect(enter).toThrow(expect.objectContaining(refusal))
  })
  it('is none from 5 degrees on, and a wrong one can be put right', () => {
    expect(() => checkTiming({ timing: `${LEAST_TIMING_DEG}`, squish: '1 mm', exhaust: '2' })).not.toThrow()
    expect(() => checkTiming({}, ['timing 1.8 -> 18', 'plug gap 0.6 -> 0.5 mm'])).not.toThrow()
  })
  it('is read in an old log, and warned of in the trial that brought it', () => {
    const warned = (rides: readonly Ride[], set: Readonly<Record<string, string>> = SET) =>
      readLog(writtenLog({ set, rides })).warnings.filter(({ code }) => code === 'no-timing')
    expect(warned([OK, OK])).toEqual([
      { code: 'no-timing', trial: 1, message: expect.stringMatching(/1\.8 cannot be degrees.*bench timing/) },
    ])
    const later = [OK, { ...OK, change: 'ignition timing 22 -> 2.2 deg' }, OK]
    expect(warned(later, USUAL).map(({ trial }) => trial)).toEqual([2])
    expect(warned([OK], USUAL)).toEqual([])
  })
  it('brings no advice on timing, neither from there nor back there', () => {
    const about = (rides: readonly Ride[]) =>
      advice({ set: SET, rides })
        .map(inShort)
        .filter((text) => text.includes('timing'))
    expect(about([OK])).toEqual([])
    expect(advice({ set: SET, rides: [OK] }).map(inShort)[0]).toBe('needle clip 2 -> 3 from bottom')
    const righted = [OK, { skips: 60, head: 172, air: 12, change: 'ignition timing 1.8 -> 18' }]
    expect(about(righted).filter((text) => text.includes('-> 1.8'))).toEqual([])
  })
})
