import { randomEngine } from './engines.js'
import { createRandom } from './random.js'
import type { Drive, Engine, Noise, Place, RunSpan, RunState, Scenario } from './types.js'

/** One clip of the made-up story: a 70 cc two-stroke on a cargo bicycle that delivers vegetables. */
export interface StoryClip {
  readonly file: string
  readonly seed: number
  /** What the clip stands for, one sentence. */
  readonly about: string
  readonly scenario: Scenario
}

/** One draw for every clip, as it is one engine: the first number tried, not looked for. */
const ENGINE_SEED = 70
const OPEN: Place = { echo: null, passBy: null, lowpassHz: null }
const SQUARE: Place = { ...OPEN, echo: { levelDb: -10, tailS: 0.5, firstS: 0.011 } }

const ROAD: readonly Noise[] = [
  { kind: 'hiss', belowDb: 24 },
  { kind: 'wind', belowDb: 16 },
]

/** State and how long it lasts, seconds. */
export type Leg = readonly [RunState, number]

const BEFORE: readonly Leg[] = [
  ['alternate', 1.5],
  ['clean', 0.55],
  ['alternate', 1.2],
  ['two-of-three', 0.7],
  ['alternate', 1],
  ['clean', 0.45],
  ['alternate', 2],
]
const AFTER: readonly Leg[] = [
  ['clean', 2.1],
  ['alternate', 0.45],
  ['clean', 2.2],
  ['two-of-three', 0.5],
  ['clean', 1.1],
  ['alternate', 0.5],
  ['clean', 2],
]

/** The clips of the demo, in the order they are told. */
export function tellStory(): StoryClip[] {
  return [
    {
      file: 'cruise-needle-clip-2',
      seed: 2,
      about:
        'Cruising on the flat, needle clip in the second notch from the bottom: four-strokes much of the time.',
      scenario: record('cruise-needle-clip-2', 22050, 7.2, cruise(77, BEFORE), OPEN, ROAD),
    },
    {
      file: 'cruise-needle-clip-3',
      seed: 3,
      about:
        'The same road with the clip in the third notch from the bottom (needle lower): few turns skipped.',
      scenario: record('cruise-needle-clip-3', 22050, 7.2, cruise(78.5, AFTER), OPEN, ROAD),
    },
    {
      file: 'market-square-idle',
      seed: 4,
      about: 'Idling at a stall on the market square, people talking: fires once in a few turns.',
      scenario: record('market-square-idle', 16000, 8, idle(50), SQUARE, [
        { kind: 'hiss', belowDb: 18 },
        { kind: 'speech', belowDb: 12 },
      ]),
    },
    {
      file: 'rain-on-tarpaulin',
      seed: 5,
      about: 'No engine: rain on the tarpaulin over the vegetables.',
      scenario: {
        ...record('rain-on-tarpaulin', 16000, 6, idle(50), OPEN, [{ kind: 'tarpaulin', belowDb: 0 }]),
        engine: null,
      },
    },
  ]
}

function record(
  name: string,
  rateHz: number,
  durationS: number,
  drive: Drive,
  place: Place,
  noises: readonly Noise[],
): Scenario {
  const phone = {
    lowHz: 60,
    highHz: 7500,
    levelDbfs: -19,
    leveller: null,
    suppressor: null,
    clipAt: null,
    codec: null,
  }
  return { name, durationS, rateHz, engine: theEngine(), drive, place, noises, phone }
}

/** A clip of the story's engine at cruise, out in the open. */
export function recordCruise(name: string, lengthS: number, baseHz: number, legs: readonly Leg[]): Scenario {
  return record(name, 22050, lengthS, cruise(baseHz, legs), OPEN, ROAD)
}

function theEngine(): Engine {
  return randomEngine(createRandom(ENGINE_SEED, 'story'))
}

/** Runs a little faster while it skips (the load has gone), slower while every turn pulls. */
function cruise(baseHz: number, legs: readonly Leg[]): Drive {
  const knots: [number, number][] = []
  const spans: RunSpan[] = []
  let timeS = 0
  for (const [state, lengthS] of legs) {
    const clean = state === 'clean'
    const hz = baseHz * (clean ? 0.98 : 1.02)
    spans.push({ startS: timeS, state, throttle: clean ? 0.75 : 0.6 })
    knots.push([timeS + 0.2, hz], [timeS + lengthS, hz])
    timeS += lengthS
  }
  return { knots, spans, huntDepth: 0.008, huntHz: 1.3, jitter: 0.005, startS: 0, endS: timeS }
}

function idle(hz: number): Drive {
  const spans: RunSpan[] = [{ startS: 0, state: 'idle', throttle: 0.12 }]
  return { knots: [[0, hz]], spans, huntDepth: 0.03, huntHz: 0.9, jitter: 0.008, startS: 0, endS: 20 }
}
