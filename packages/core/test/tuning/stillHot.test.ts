/** A head that was too hot is not forgotten by a ride without a reading. */
import { describe, expect, it } from 'vitest'
import { advice, inShort, type Ride, type WrittenHistory } from './written.js'

const said = (written: WrittenHistory): string[] => advice(written).map(inShort)
const HOT: Ride = { skips: 40, head: 240, air: 12 }
const LEANER = 'needle clip 2 -> 3 from bottom'

describe('a ride without a readable head, after one that was too hot', () => {
  it.each<[string, Ride[], string]>([
    [
      'a leaner step ridden cold',
      [HOT, { change: LEANER, skips: 20, air: 12, engine: 'cold' }],
      'halt: needle clip 3 -> 1 from bottom (guard)',
    ],
    [
      'a smaller jet: more than the needle alone makes up for',
      [HOT, { change: 'main jet 70 -> 66', skips: 20, air: 12 }],
      'halt: main jet 66 -> 72 (guard)',
    ],
    [
      'an earlier spark, cold, with a cold head: both are taken back',
      [
        { skips: 20, head: 225, air: 12 },
        { change: 'ignition timing 22 -> 24 deg', air: 12, engine: 'cold', head: 100 },
      ],
      'halt: needle clip 2 -> 1 from bottom + ignition timing 24 -> 22 deg (guard)',
    ],
    [
      'leaner and earlier at once: both are taken back, and a step more',
      [
        HOT,
        { change: ['needle clip 2 -> 3 from bottom', 'ignition timing 22 -> 24 deg'], skips: 20, air: 12 },
      ],
      'halt: needle clip 3 -> 1 from bottom + ignition timing 24 -> 22 deg (guard)',
    ],
    [
      'a step that changes nothing of it',
      [HOT, { change: 'plug gap 0.6 -> 0.5 mm', skips: 33, air: 12 }],
      'halt: needle clip 2 -> 1 from bottom (guard)',
    ],
    [
      'leaner again: back to the ride that was clear',
      [
        { skips: 43, head: 184, air: 12 },
        { change: LEANER, skips: 27, head: 214, air: 12 },
        { change: 'needle clip 3 -> 4 from bottom', skips: 23, air: 12 },
      ],
      'halt: needle clip 4 -> 2 from bottom (guard)',
    ],
    [
      'a head too hot on a cold engine',
      [
        { skips: 40, head: 240, air: 12, engine: 'cold' },
        { change: LEANER, skips: 20, air: 12 },
      ],
      'halt: needle clip 3 -> 1 from bottom (guard)',
    ],
    [
      'too hot in the air of today',
      [
        { skips: 40, head: 200, air: 5 },
        { change: LEANER, skips: 20, air: 15 },
      ],
      'halt: needle clip 3 -> 1 from bottom (guard)',
    ],
  ])('stops: %s', (_, rides, wanted) => {
    expect(said({ rides })).toEqual([wanted])
  })
  it('says which ride was too hot, and that nothing has cooled it since', () => {
    const [halt] = advice({ rides: [HOT, { change: LEANER, skips: 20, air: 12 }] })
    expect(halt!.evidence).toEqual([
      'The head reached 240 °C in trial 1, at or over the limit of 232 °C, and nothing that was changed since cools it.',
    ])
  })
  it.each<[string, Ride[]]>([
    ['it was set richer', [HOT, { change: 'needle clip 2 -> 1 from bottom', skips: 45, air: 12 }]],
    [
      'as lean a setting ran cool since',
      [
        HOT,
        { change: LEANER, skips: 20, head: 180, air: 12 },
        { change: 'plug gap 0.6 -> 0.5 mm', skips: 20, air: 12 },
      ],
    ],
  ])('does not stop where %s', (_, rides) => {
    expect(said({ rides })[0]).not.toMatch(/^halt/)
  })
})
