import { seededRandom } from '../../src/math/random.js'
import { headMargin } from '../../src/workshop/heat.js'

/** Knobs of a simulated engine, in the order of a setting. */
export const SIMULATED = [
  'needle clip',
  'ignition timing',
  'main jet',
  'premix',
  'plug gap',
  'squish',
] as const

/** A setting: one value a knob, in the order of {@link SIMULATED}. */
export type Values = readonly number[]

/** A hidden engine: what it does at every setting, known to the simulation alone. */
export interface HiddenEngine {
  readonly start: Values
  readonly best: Values
  /** True share of skipped turns, 0–1. */
  skipped(values: Values): number
  /** Head temperature, °C. */
  headC(values: Values): number
  /** Share of skipped turns of the best setting whose head stays clear of the limit and its margin. */
  readonly bestReachable: number
}

interface KnobModel {
  readonly step: number
  readonly low: number
  readonly high: number
  /** Value the engine likes best, drawn from these. */
  readonly likes: readonly number[]
  /** How often this knob is one of those that are off, against the others. */
  readonly blame: number
  /** Steps the engine as built is off where it is, and how often each; the sign is that of the value. */
  readonly off: readonly (readonly [steps: number, weight: number])[]
  /** Skipped turns, as a share of what is left, that one step off costs: from and to. */
  readonly cost: readonly [number, number]
  /** Head temperature a step up of the value adds, K. */
  readonly heat: number
}

/**
 * Which knob is to blame how often follows what tuners say: mostly rich or too early, then oil, gap, squish. The figures
 * are chosen, common practice, no source: a model of the search, not of any engine.
 */
const MODELS: Readonly<Record<(typeof SIMULATED)[number], KnobModel>> = {
  'needle clip': {
    step: 1,
    low: 1,
    high: 5,
    likes: [3, 4],
    blame: 10,
    off: [
      [-1, 5],
      [-2, 3],
      [1, 1],
    ],
    cost: [0.12, 0.25],
    heat: 10,
  },
  'ignition timing': {
    step: 2,
    low: 10,
    high: 30,
    likes: [16, 18, 20],
    blame: 8,
    off: [
      [1, 3],
      [2, 3],
      [3, 1],
      [-1, 1],
    ],
    cost: [0.08, 0.18],
    heat: 4,
  },
  'main jet': {
    step: 2,
    low: 60,
    high: 80,
    likes: [68, 70],
    blame: 4,
    off: [
      [1, 4],
      [2, 2],
      [-1, 1],
    ],
    cost: [0.05, 0.12],
    heat: -6,
  },
  premix: {
    step: 5,
    low: 15,
    high: 40,
    likes: [25, 30],
    blame: 3,
    off: [
      [-1, 2],
      [-2, 1],
    ],
    cost: [0.04, 0.1],
    heat: 2,
  },
  'plug gap': {
    step: 0.1,
    low: 0.4,
    high: 0.9,
    likes: [0.5, 0.6],
    blame: 3,
    off: [
      [1, 3],
      [2, 2],
      [-1, 2],
    ],
    cost: [0.05, 0.12],
    heat: 0,
  },
  squish: {
    step: 0.2,
    low: 0.6,
    high: 2,
    likes: [0.9, 1],
    blame: 3,
    off: [
      [1, 3],
      [2, 2],
    ],
    cost: [0.04, 0.1],
    heat: -5,
  },
}

/** How many knobs are off, and how often. Chosen: mostly one or two. */
const CULPRITS: readonly (readonly [count: number, weight: number])[] = [
  [1, 4],
  [2, 4],
  [3, 2],
]

/** Head temperature of the engine as built, °C, from and to. Chosen: a rich engine runs cool. */
const START_HEAD_C = [150, 185] as const

/** An engine that skips less than this as built is no history worth telling. */
const WORTH_TUNING = 0.15

/**
 * Draws a hidden engine. The share of skipped turns is a floor plus what every knob that is off adds to it, each taking its
 * part of what still fires; steps further off cost more than in proportion.
 */
export function drawEngine(seed: number): HiddenEngine {
  const next = seededRandom(seed)
  const models = SIMULATED.map((name) => MODELS[name])
  const best = models.map(({ likes }) => likes[Math.floor(next() * likes.length)]!)
  const cost = models.map(({ cost: [low, high] }) => low + next() * (high - low))
  const floor = 0.02 + 0.05 * next()
  const skipped = (values: Values) => {
    const fires = values.reduce((share, value, k) => {
      const off = Math.abs(value - best[k]!) / models[k]!.step
      return share * Math.exp(-cost[k]! * off ** 1.3)
    }, 1 - floor)
    return 1 - fires
  }
  let start: number[] = [...best]
  for (let k = 0; k < 1000 && skipped(start) < WORTH_TUNING; k++) start = detune(models, best, next)
  const heatAtStart = START_HEAD_C[0] + (START_HEAD_C[1] - START_HEAD_C[0]) * next()
  const headC = (values: Values) =>
    values.reduce(
      (sum, value, k) => sum + ((value - start[k]!) / models[k]!.step) * models[k]!.heat,
      heatAtStart,
    )
  return { start, best, skipped, headC, bestReachable: bestReachable(models, best, skipped, headC) }
}

/** Puts some knobs off the best setting. */
function detune(models: readonly KnobModel[], best: Values, next: () => number): number[] {
  const values = [...best]
  const left = new Set(models.keys())
  for (let n = drawn(CULPRITS, next()); n > 0; n--) {
    const k = drawn(
      [...left].map((i) => [i, models[i]!.blame] as const),
      next(),
    )
    left.delete(k)
    const { step, low, high, off } = models[k]!
    values[k] = Math.min(high, Math.max(low, values[k]! + step * drawn(off, next())))
  }
  return values
}

function drawn(options: readonly (readonly [number, number])[], at: number): number {
  let left = at * options.reduce((sum, [, weight]) => sum + weight, 0)
  const found = options.find(([, weight]) => {
    left -= weight
    return left <= 0
  })
  return (found ?? options.at(-1)!)[0]
}

/** Every setting within the bounds and within three steps of the best one, those too hot left out. */
function bestReachable(
  models: readonly KnobModel[],
  best: Values,
  skipped: (values: Values) => number,
  headC: (values: Values) => number,
): number {
  let lowest = Number.POSITIVE_INFINITY
  const walk = (values: readonly number[]): void => {
    const k = values.length
    if (k === models.length) {
      if (headMargin(headC(values)).state === 'clear') lowest = Math.min(lowest, skipped(values))
      return
    }
    const { step, low, high } = models[k]!
    for (let off = -3; off <= 3; off++) {
      const value = best[k]! + off * step
      if (value >= low - 1e-9 && value <= high + 1e-9) walk([...values, value])
    }
  }
  walk([])
  return lowest
}
