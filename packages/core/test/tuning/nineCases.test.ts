/** Histories in which advice seized an engine when a mechanic followed it. Directions and limits: common practice, no source. */
import { describe, expect, it } from 'vitest'
import { newLogText, readLog } from '../../src/tuning/index.js'
import { advice, inShort, type Ride, USUAL, writtenLog } from './written.js'

const short = (rides: readonly Ride[], today?: number) =>
  advice({ rides, ...(today !== undefined && { today }) }).map(inShort)

describe('heat and trouble come first', () => {
  it.each([4, 30])('as built, 240 °C, %s % skipped: stop, cool, richer, and nothing beside it', (skips) => {
    const said = advice({ rides: [{ skips, head: 240, air: 15 }] })
    expect(said).toHaveLength(1)
    expect(said[0]).toMatchObject({ kind: 'halt', leaner: false, first: [{ to: { text: '1 from bottom' } }] })
    expect(said[0]!.say).toMatch(/Stop and let it cool.*a step richer.*look for the cause/)
    expect(said[0]!.evidence.join(' ')).toMatch(/240 °C, at or over the limit/)
  })

  it('a way back that is leaner on a hot engine is not shown', () => {
    // The best was one notch leaner; a step richer since, and all the same it runs hot.
    const said = short([
      { skips: 10, head: 190, air: 15 },
      { change: 'needle clip 2 -> 1 from bottom', skips: 25, head: 212, air: 15 },
    ])
    expect(said).toHaveLength(1)
    expect(said[0]).toMatch(/^halt/)
    expect(said[0]).not.toMatch(/needle clip 1 -> 2/)
  })

  it('of two changes made without a thermometer the harmless one is taken back, or none', () => {
    const harmless = short([
      { skips: 30 },
      { change: ['needle clip 2 -> 1 from bottom', 'plug gap 0.6 -> 0.5 mm'], skips: 30 },
    ])
    expect(harmless[0]).toBe('separate: plug gap 0.5 -> 0.6 mm (two-at-once)')
    const none = short([
      { skips: 30 },
      { change: ['needle clip 2 -> 1 from bottom', 'squish 1 -> 1.2 mm'], skips: 30 },
    ])
    expect(none[0]).toMatch(/^measure-head/)
    expect(none.join()).not.toMatch(/separate/)
  })

  it('the best setting of a day of 2 °C is too hot at 33 °C', () => {
    const best: Ride[] = [
      { skips: 30, head: 180, air: 2 },
      { change: 'needle clip 2 -> 3 from bottom', skips: 4, head: 195, air: 2 },
    ]
    expect(short(best)[0]).toMatch(/^stop/)
    const hot = advice({ rides: best, today: 33 })
    expect(hot).toHaveLength(1)
    expect(hot[0]!.evidence[0]).toMatch(/at 195 °C in air of 2 °C; today, at 33 °C, that is about 226 °C/)
    // Ridden richer on the hot day: no word of going back to the best one.
    const richer = short([
      ...best,
      { change: 'needle clip 3 -> 1 from bottom', skips: 40, head: 190, air: 33 },
    ])
    expect(richer.join()).not.toMatch(/-> 3 from bottom/)
  })

  it('a later spark that heated by 12 °C a step is not taken later still', () => {
    const said = short([
      { skips: 40, head: 165, air: 15 },
      { change: 'ignition timing 22 -> 20 deg', skips: 38, head: 177, air: 15 },
      { change: 'ignition timing 20 -> 18 deg', skips: 37, head: 189, air: 15 },
    ])
    expect(said[0]).toMatch(/^back: ignition timing 18 -> 2\d deg/)
    expect(said.join()).not.toMatch(/timing \d+ -> (18|17|16|14)/)
  })

  it('a repeat that turned hot and lean is a leak, not a success', () => {
    const said = short([
      { skips: 30, head: 180, air: 15 },
      { skips: 8, head: 200, air: 15 },
    ])
    expect(said).toHaveLength(1)
    expect(said[0]).toMatch(/^halt/)
    const found = advice({
      rides: [
        { skips: 30, head: 180, air: 15 },
        { skips: 8, head: 200, air: 15 },
      ],
    })[0]!
    expect(found.evidence.join(' ')).toMatch(/20 °C hotter than before.*skips \d+ points less/)
    expect(found.why).toMatch(/air drawn in/)
  })

  it('trouble: seized is the end of all other advice', () => {
    const said = advice({
      rides: [
        { skips: 30, head: 180, air: 15 },
        { change: 'needle clip 2 -> 3 from bottom', skips: 4, head: 190, air: 15, trouble: 'seized' },
      ],
    })
    expect(said).toHaveLength(1)
    expect(said[0]!.say).toMatch(/do not start it again before the cause is found.*needle clip 3 -> 2/)
    expect(said[0]!.why).toMatch(/piston, ring and bore/)
  })

  it('a warm head of 14 °C with air of 176 °C is refused, with line and column', () => {
    expect(() => writtenLog({ rides: [{ skips: 30, head: 14, air: 176 }] })).toThrowError(
      /176 °C cannot be the air/,
    )
    const text = writtenLog({ rides: [{ skips: 30, head: 184, air: 14 }] })
    const swapped = text.replace('air: 14 °C', 'air: 176 °C').replace('head: 184 °C', 'head: 14 °C')
    expect(() => readLog(swapped)).toThrowError(/line \d+, column 5: air: 176 °C cannot be/)
    expect(() => readLog(text.replace('head: 184 °C', 'head: 14 °C'))).toThrowError(
      /line \d+, column 5: head: 14 °C cannot be a warm head/,
    )
  })

  it('a bare needle number is refused: which end?', () => {
    const bare = () => newLogText({ engine: { name: 'x' }, settings: { ...USUAL, 'needle clip': '3' } })
    expect(() => readLog(bare())).toThrowError(/does not say from which end/)
    expect(() =>
      writtenLog({ rides: [{ skips: 30, change: 'needle clip 2 -> 3', head: 180 }] }),
    ).toThrowError(/does not say from which end/)
  })
})
