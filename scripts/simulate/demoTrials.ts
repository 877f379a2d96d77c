import type { NewLog, NewTrial } from '../../packages/core/src/tuning/index.js'
import { createRandom, type Random } from './random.js'
import { type Leg, recordCruise } from './story.js'
import type { RunState, Scenario } from './types.js'

/** The engine of the demo log as built; invented. */
export const DEMO_ENGINE: NewLog = {
  engine: {
    name: 'cargo bicycle, 70 cc (invented)',
    bore: '47 mm',
    stroke: '40 mm',
    rod: '85 mm',
    shaft: '15 mm',
    key: '3 mm',
    rotation: 'clockwise',
    primary: 4.1,
    sprockets: '10/44',
    wheel: '57-559',
    slip: '2 %',
  },
  settings: {
    'needle clip': '2 from bottom',
    'main jet': '70',
    'ignition timing': '24 deg',
    'plug gap': '0.6 mm',
    squish: '1.3 mm',
    premix: '25:1',
  },
}

/** A trial of the story and the share of turns its clips are made to skip. */
export type DemoTrial = Omit<NewTrial, 'clips' | 'heard'> & { readonly skipped: number }

/** Twelve trials; invented. */
export const DEMO_TRIALS: readonly DemoTrial[] = [
  {
    date: '2026-04-03',
    air: '12 °C',
    head: '184 °C',
    engine: 'warm',
    note: 'as built, 60 kg of carrots',
    skipped: 0.43,
  },
  {
    date: '2026-04-05',
    change: ['needle clip 2 -> 3 from bottom'],
    air: '13 °C',
    head: '195 °C',
    engine: 'warm',
    pull: 'better',
    skipped: 0.25,
  },
  {
    date: '2026-04-07',
    change: ['needle clip 3 -> 4 from bottom'],
    air: '15 °C',
    head: '214 °C',
    engine: 'warm',
    pull: 'same',
    note: 'smells hot on the bridge',
    skipped: 0.21,
  },
  {
    date: '2026-04-08',
    change: ['needle clip 4 -> 3 from bottom'],
    air: '14 °C',
    head: '194 °C',
    engine: 'warm',
    pull: 'same',
    skipped: 0.25,
  },
  {
    date: '2026-04-11',
    change: ['ignition timing 24 -> 22 deg'],
    air: '14 °C',
    head: '192 °C',
    engine: 'warm',
    pull: 'same',
    note: 'softer at half throttle',
    skipped: 0.14,
  },
  {
    date: '2026-04-12',
    change: ['ignition timing 22 -> 20 deg'],
    air: '16 °C',
    head: '191 °C',
    engine: 'warm',
    pull: 'worse',
    note: 'no pull left at the bridge',
    skipped: 0.13,
  },
  {
    date: '2026-04-14',
    change: ['ignition timing 20 -> 22 deg'],
    air: '15 °C',
    head: '193 °C',
    engine: 'warm',
    pull: 'better',
    skipped: 0.14,
  },
  {
    date: '2026-04-18',
    change: ['plug gap 0.6 -> 0.5 mm', 'premix 25:1 -> 30:1'],
    air: '17 °C',
    head: '197 °C',
    engine: 'warm',
    pull: 'same',
    note: 'was in a hurry',
    skipped: 0.09,
  },
  {
    date: '2026-04-20',
    change: ['premix 30:1 -> 25:1'],
    air: '16 °C',
    head: '194 °C',
    engine: 'warm',
    pull: 'same',
    skipped: 0.09,
  },
  {
    date: '2026-04-25',
    change: ['squish 1.3 -> 1.1 mm'],
    air: '9 °C',
    head: '121 °C',
    engine: 'cold',
    note: 'once round the yard before work',
    skipped: 0.3,
  },
  {
    date: '2026-04-25',
    air: '15 °C',
    head: '198 °C',
    engine: 'warm',
    pull: 'better',
    note: 'the same, warm',
    skipped: 0.03,
  },
  {
    date: '2026-05-09',
    air: '19 °C',
    head: '202 °C',
    engine: 'warm',
    pull: 'same',
    note: 'the same two weeks later',
    skipped: 0.03,
  },
]

const LENGTH_S = 20

/** A clip of the cruise that skips about such a share of its turns, in stretches of a second or two. */
export function demoClip(name: string, skipped: number, seed: number): Scenario {
  return recordCruise(name, LENGTH_S, 77, legsOf(skipped, createRandom(seed, 'legs')))
}

/** Skipping states by the share of turns they skip. */
const SKIPPING: readonly (readonly [RunState, number])[] = [
  ['alternate', 1 / 2],
  ['alternate', 1 / 2],
  ['two-of-three', 1 / 3],
]

/** Clean and skipping stretches in turn; how long each lasts follows from the share still owed. */
function legsOf(skipped: number, random: Random): Leg[] {
  const legs: Leg[] = []
  let timeS = 0
  let skippedS = 0
  for (let k = 0; timeS < LENGTH_S; k++) {
    const lengthS = 0.5 + 1.2 * random()
    const [state, share] = SKIPPING[k % SKIPPING.length]!
    // Skip where that brings the running share nearer to the wanted one.
    const skips = skippedS + (share * lengthS) / 2 < skipped * (timeS + lengthS)
    legs.push([skips ? state : 'clean', lengthS])
    timeS += lengthS
    if (skips) skippedS += share * lengthS
  }
  return legs
}
