import { type Case, CP, HEYWOOD } from './types.js'

const OK = { skips: 30, head: 180, air: 15 } as const
const LEANER = 'needle clip 2 -> 3 from bottom'

/** Heat, trouble and signs of a leak: one answer, nothing beside it. */
export const DANGER: readonly Case[] = [
  {
    name: 'just under the margin as built',
    rides: [{ skips: 40, head: 208, air: 15 }],
    first: /^halt: needle clip 2 -> 1/,
    source: CP,
  },
  { name: 'clean and over the limit', rides: [{ skips: 1, head: 250, air: 20 }], first: /^halt/, source: CP },
  {
    name: 'over a maker’s limit that is lower',
    engine: { headLimit: '200 °C' },
    rides: [{ skips: 30, head: 185, air: 15 }],
    first: /^halt/,
    source: CP,
  },
  {
    name: 'a limit that is higher leaves room',
    engine: { headLimit: '260 °C' },
    rides: [{ skips: 30, head: 208, air: 15 }],
    first: /^needle clip 2 -> 3/,
    source: CP,
  },
  {
    name: 'one notch leaner ran hot: back',
    rides: [OK, { change: LEANER, skips: 12, head: 209, air: 15 }],
    first: /^halt: needle clip 3 -> 2/,
    never: /-> 4/,
    source: CP,
  },
  {
    name: 'hot where the needle is at its richest: the jet',
    set: { 'needle clip': '1 from bottom', 'main jet': '70' },
    rides: [{ skips: 20, head: 225, air: 15 }],
    first: /^halt: main jet 70 -> 72/,
    source: CP,
  },
  {
    name: 'hot and no setting known: richer in words',
    set: {},
    rides: [{ skips: 20, head: 225, air: 15 }],
    first: /^halt \(guard\)/,
    source: CP,
  },
  {
    name: 'fine in the cold, too hot tomorrow',
    rides: [{ skips: 30, head: 190, air: 0 }],
    today: 30,
    first: /^halt/,
    source: CP,
  },
  {
    name: 'warm ride, cold day to come: no credit',
    rides: [
      { skips: 30, head: 206, air: 30 },
      { skips: 30, head: 209, air: 30 },
    ],
    today: 5,
    first: /^halt/,
    source: CP,
  },
  {
    name: 'an engine that follows the air twice as much',
    rides: [
      { skips: 30, head: 160, air: 5 },
      { skips: 31, head: 190, air: 20 },
    ],
    today: 30,
    first: /^halt/,
    source: CP,
  },
  { name: 'seized as built', rides: [{ ...OK, trouble: 'seized' }], first: /^halt/, source: CP },
  {
    name: 'nipped up after a leaner step',
    rides: [OK, { change: LEANER, skips: 8, head: 195, air: 15, trouble: 'nipped up on the hill' }],
    first: /^halt: needle clip 3 -> 2/,
    source: CP,
  },
  {
    name: 'rattle after an earlier spark: later again',
    rides: [
      OK,
      {
        change: 'ignition timing 22 -> 24 deg',
        skips: 28,
        head: 185,
        air: 15,
        trouble: 'rattles under load',
      },
    ],
    first: /^halt: ignition timing 24 -> 22/,
    source: HEYWOOD,
  },
  {
    name: 'rattle after a tighter squish: wider again',
    rides: [OK, { change: 'squish 1 -> 0.8 mm', skips: 25, head: 188, air: 15, trouble: 'pinking' }],
    first: /^halt: squish 0\.8 -> 1 mm/,
    source: HEYWOOD,
  },
  {
    name: 'strange smoke',
    rides: [OK, { change: 'plug gap 0.6 -> 0.5 mm', skips: 28, head: 180, air: 15, trouble: 'white smoke' }],
    first: /^halt/,
    source: CP,
  },
  {
    name: 'other trouble, in words',
    rides: [{ ...OK, trouble: 'something is loose' }],
    first: /^halt/,
    source: CP,
  },
  {
    name: 'trouble of three rides ago stands',
    rides: [{ ...OK, trouble: 'seized' }, OK, { change: LEANER, skips: 20, head: 190, air: 15 }],
    first: /^halt/,
    source: CP,
  },
  {
    name: 'trouble mended: on from where it ran well',
    rides: [
      OK,
      { change: LEANER, skips: 18, head: 188, air: 15, trouble: 'seized' },
      { change: 'needle clip 3 -> 2 from bottom', ...OK, trouble: 'none' },
    ],
    first: /^(?!halt)/,
    never: /-> (3|4) from bottom/,
    source: CP,
  },
  {
    name: 'pull lost at an unchanged setting',
    rides: [OK, { ...OK, skips: 29, pull: 'worse' }],
    first: /^halt/,
    source: CP,
  },
  {
    name: 'pull lost after a leaner step, head still cool',
    rides: [OK, { change: LEANER, skips: 20, head: 186, air: 15, pull: 'worse' }],
    first: /^halt: needle clip 3 -> 2/,
    source: CP,
  },
  {
    name: 'head climbs by itself over three rides',
    rides: [OK, { ...OK, head: 182 }, { ...OK, head: 199 }],
    first: /^halt/,
    source: CP,
  },
  {
    name: 'head climbs with the air: no leak',
    rides: [OK, { ...OK, head: 198, air: 33 }],
    first: /^(?!halt)/,
    source: CP,
  },
  {
    name: 'skips far less by itself, no thermometer',
    rides: [{ skips: 45 }, { skips: 12 }],
    first: /^halt/,
    source: CP,
  },
  {
    name: 'skips less on a colder day: the weather, not a leak',
    rides: [
      { skips: 45, air: 25, head: 180 },
      { skips: 28, air: 8, head: 178 },
    ],
    first: /^(?!halt)/,
    source: CP,
  },
  {
    name: 'richer and hotter does not fit',
    rides: [OK, { change: 'needle clip 2 -> 1 from bottom', skips: 40, head: 199, air: 15 }],
    first: /^halt/,
    source: CP,
  },
  {
    name: 'one notch cannot heat by 45 K',
    rides: [
      { ...OK, head: 150 },
      { change: LEANER, skips: 25, head: 195, air: 15 },
    ],
    first: /^halt: needle clip 3 -> 2/,
    source: CP,
  },
  {
    name: 'a warm head of 95 °C is no leave to go leaner',
    rides: [{ skips: 30, head: 95, air: 15 }],
    first: /^measure-head/,
    never: /-> 3/,
    source: CP,
  },
  {
    name: 'a head 60 K cooler with nothing changed is the sensor',
    rides: [
      { ...OK, head: 190 },
      { ...OK, head: 130 },
    ],
    first: /^measure-head \(guard\)/,
    never: /-> 3/,
    source: CP,
  },
  {
    name: 'cold engine over the limit is hot all the same',
    rides: [OK, { ...OK, head: 240, engine: 'cold' }],
    first: /^halt/,
    source: CP,
  },
]
