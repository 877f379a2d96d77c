/** Millimetres of piston travel taken for degrees. */
import { describe, expect, it } from 'vitest'
import { addTrial, editTrial, LEAST_TIMING_DEG, newLogText, readLog } from '../../src/tuning/index.js'
import { adviceOn, inShort, type Ride, USUAL, writtenLog } from './written.js'

const OK: Ride = { skips: 43, head: 170, air: 12 }

/** A log as earlier versions, or a hand, wrote it: millimetres, which none of its rides says, stand for these degrees. */
function oldLog(rides: readonly Ride[], timing = '23 deg'): string {
  return writtenLog({ set: { ...USUAL, 'ignition timing': timing }, rides }).replaceAll('23 deg', '1.8')
}

describe('an ignition timing that cannot be degrees', () => {
  it.each(['1.8', '1.8 deg', '0', '4.9°'])('is refused where it is entered: %s', (text) => {
    const refusal = { code: 'out-of-range', hint: expect.stringContaining('everyrev bench timing') }
    const log = writtenLog({ set: USUAL, rides: [OK] })
    for (const enter of [
      () => newLogText({ engine: { name: 'cargo bicycle' }, settings: { timing: text } }),
      () => addTrial(log, { date: '2026-06-02', change: [`ignition timing 18 deg -> ${text}`] }),
      () => addTrial(log, { date: '2026-06-02', change: ['plug gap 0.6 -> 0.5 mm', `spark to ${text}`] }),
      () => editTrial(log, 1, { change: [`timing to ${text}`] }),
    ])
      expect(enter).toThrow(expect.objectContaining(refusal))
  })
  it('is none from 5 degrees on, and a wrong one can be put right', () => {
    const settings = { timing: `${LEAST_TIMING_DEG}`, squish: '1 mm', exhaust: '2' }
    expect(newLogText({ engine: { name: 'cargo bicycle' }, settings })).toContain('timing: 5')
    const change = ['timing 1.8 -> 18', 'plug gap 0.6 -> 0.5 mm']
    expect(addTrial(oldLog([OK]), { date: '2026-06-02', change })).toContain('1.8 -> 18')
  })
  it('is read in an old log, and warned of in the trial that brought it', () => {
    const warned = (text: string) => readLog(text).warnings.filter(({ code }) => code === 'no-timing')
    expect(warned(oldLog([OK, OK]))).toEqual([
      { code: 'no-timing', trial: 1, message: expect.stringMatching(/1\.8 cannot be degrees.*bench timing/) },
    ])
    const later = [OK, { ...OK, change: 'ignition timing 22 -> 23 deg' }, OK]
    expect(warned(oldLog(later, '22 deg')).map(({ trial }) => trial)).toEqual([2])
    expect(warned(writtenLog({ rides: [OK] }))).toEqual([])
  })
  it('brings no advice on timing, neither from there nor back there', () => {
    const about = (rides: readonly Ride[]) =>
      adviceOn(oldLog(rides))
        .map(inShort)
        .filter((text) => text.includes('timing'))
    expect(about([OK])).toEqual([])
    expect(adviceOn(oldLog([OK])).map(inShort)[0]).toBe('needle clip 2 -> 3 from bottom')
    const righted = [OK, { skips: 60, head: 172, air: 12, change: 'ignition timing 23 deg -> 18' }]
    expect(about(righted).filter((text) => text.includes('-> 1.8'))).toEqual([])
  })
})
