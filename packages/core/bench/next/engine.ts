import { seededRandom } from '../../src/math/random.js'

/** Knobs of the model, in the order of its values. */
export const MODELLED = [
  'needle clip',
  'ignition timing',
  'main jet',
  'premix',
  'plug gap',
  'squish',
] as const

/** One value a knob, in the order of {@link MODELLED}: notches from the bottom, degrees, jet number, parts of fuel, mm, mm. */
export type Values = readonly number[]

/** What a ride happens in. */
export interface Conditions {
  readonly airC: number
  /** Air drawn in past the carburettor: share by which it leans the mixture, ≥ 0. */
  readonly leak: number
  /** True while the plug or its lead misses now and then. */
  readonly weakPlug: boolean
}

/**
 * A hidden engine. One mixture is fed by needle, jet, oil and the air's density; it sets skips and heat together, so a
 * leak or a cold day moves both. A model for judging advice, not a measured engine; it shares no figure with the rules.
 */
export interface HiddenEngine {
  readonly start: Values
  /** Values it likes best, between the steps that a rider can make. */
  readonly likes: Values
  readonly limitC: number
  /** Excess of fuel over what the engine likes best, as a share; below 0 it runs lean. */
  richness(values: Values, conditions: Conditions): number
  /** True share of skipped turns, 0–1. */
  skipped(values: Values, conditions: Conditions): number
  /** True head after a steady ride, °C. */
  headC(values: Values, conditions: Conditions): number
  /** Pull, 0–1. */
  pull(values: Values, conditions: Conditions): number
  /** True where most of what it skips comes from a rich mixture, and so in a regular beat. */
  fourStrokes(values: Values, conditions: Conditions): boolean
}

/** A day of 15 °C with nothing broken: what settings are scored in. */
export const FAIR_DAY: Conditions = { airC: 15, leak: 0, weakPlug: false }

/** Mixtures leaner than this have crossed the line from which engines seize. Chosen. */
export const LEAN_MARGIN = -0.1
export const LIMIT_C = 232

/** Less skipping than this as built is no history worth telling. */
const WORTH_TUNING = 0.15

/** How an engine may be drawn: how many knobs are off, and how often; how often it runs hot even where all is right. */
export interface EngineKind {
  readonly off: readonly (readonly [count: number, weight: number])[]
  readonly hot: number
}

/** Mostly one or two knobs off: what the rules were set on. */
export const USUAL_ENGINE: EngineKind = {
  off: [
    [1, 4],
    [2, 4],
    [3, 2],
  ],
  hot: 0,
}

/** Up to five knobs off, and one engine in ten hot: fins, load, or a limit too low for it. */
export const ANY_ENGINE: EngineKind = {
  off: [
    [1, 2],
    [2, 3],
    [3, 3],
    [4, 2],
    [5, 1],
  ],
  hot: 0.1,
}
/** How often each knob is among them. Chosen after what tuners say. */
const BLAME = [10, 7, 4, 2, 4, 3] as const

export function drawEngine(seed: number, kind: EngineKind): HiddenEngine {
  const next = seededRandom(seed)
  const span = (low: number, high: number) => low + (high - low) * next()
  const best = [
    2 + Math.floor(3 * next()),
    span(15, 21),
    64 + 2 * Math.floor(7 * next()),
    25 + 5 * Math.floor(2 * next()),
    span(0.45, 0.65),
    span(0.8, 1.05),
  ]
  const shape = drawShape(kind, next, span)
  for (;;) {
    const start = detune(kind, best, next, span)
    const made = build(best, start, shape)
    if (made.skipped(start, FAIR_DAY) >= WORTH_TUNING) return made
  }
}

interface Shape {
  readonly notch: number
  readonly jet: number
  readonly richSkip: number
  readonly sparkDeg: number
  readonly gapMm: number
  readonly squishMm: number
  readonly oilSkip: number
  readonly floor: number
  readonly richCools: number
  readonly earlyHeats: number
  readonly lateHeats: number
  readonly lateFrom: number
  readonly squishHeats: number
  readonly oilHeats: number
  readonly airRise: number
  readonly bestHeadC: number
}

function drawShape(
  { hot }: EngineKind,
  next: () => number,
  span: (low: number, high: number) => number,
): Shape {
  const lateBurner = next() < 0.15
  return {
    notch: span(0.035, 0.075),
    jet: span(0.3, 0.8),
    richSkip: span(0.12, 0.25),
    sparkDeg: span(9, 18),
    gapMm: span(0.35, 0.7),
    squishMm: span(0.8, 1.5),
    oilSkip: span(0.02, 0.07),
    floor: span(0.02, 0.06),
    richCools: span(140, 300),
    earlyHeats: span(0.5, 2.5),
    lateHeats: lateBurner ? span(4, 7) : span(0, 2.5),
    lateFrom: lateBurner ? 6 : 0,
    squishHeats: span(15, 40),
    oilHeats: span(0.2, 0.6),
    airRise: span(0.7, 1.3),
    bestHeadC: next() < hot ? span(205, 240) : span(160, 200),
  }
}

function build(best: Values, start: Values, shape: Shape): HiddenEngine {
  const richness: HiddenEngine['richness'] = ([needle, , jet, oil], { airC, leak }) =>
    shape.notch * (best[0]! - needle!) +
    shape.jet * ((jet! / best[2]!) ** 2 - 1) +
    0.5 * (oil! / (oil! + 1) / (best[3]! / (best[3]! + 1)) - 1) +
    (Math.sqrt((273 + airC) / 288) - 1) -
    leak
  const mixtureSkips = (r: number) => (r > 0 ? (r / shape.richSkip) ** 1.3 : (-r / 0.15) ** 2)
  const sparkSkips = ([, deg, , oil, gap, squish]: Values, weakPlug: boolean) =>
    (Math.abs(deg! - best[1]!) / shape.sparkDeg) ** 1.5 +
    (Math.abs(gap! - best[4]!) / shape.gapMm) ** 1.5 +
    (Math.max(0, squish! - best[5]!) / shape.squishMm) ** 1.5 +
    (shape.oilSkip * Math.max(0, best[3]! - oil!)) / 5 +
    (weakPlug ? 0.12 : 0)
  const heat = (values: Values, conditions: Conditions) => {
    const [, deg, , oil, , squish] = values
    const r = richness(values, conditions)
    return (
      -shape.richCools * r +
      0.7 * shape.richCools * Math.max(0, -r) +
      shape.earlyHeats * Math.max(0, deg! - best[1]!) +
      shape.lateHeats * Math.max(0, best[1]! + shape.lateFrom - deg!) -
      shape.squishHeats * squish! +
      shape.oilHeats * oil! +
      shape.airRise * (conditions.airC - 15)
    )
  }
  const atBest = heat(best, FAIR_DAY)
  const skipped: HiddenEngine['skipped'] = (values, conditions) =>
    1 -
    (1 - shape.floor) *
      Math.exp(-mixtureSkips(richness(values, conditions)) - sparkSkips(values, conditions.weakPlug))
  return {
    start,
    likes: best,
    limitC: LIMIT_C,
    richness,
    skipped,
    headC: (values, conditions) => shape.bestHeadC + heat(values, conditions) - atBest,
    pull: (values, conditions) =>
      Math.exp(
        -((richness(values, conditions) / 0.25) ** 2) -
          (Math.max(0, best[1]! - values[1]!) / 12) ** 2 -
          0.3 * skipped(values, conditions),
      ),
    fourStrokes: (values, conditions) => {
      const r = richness(values, conditions)
      return r > 0 && mixtureSkips(r) > sparkSkips(values, conditions.weakPlug)
    },
  }
}

/** Puts some knobs off, mostly the rich and early way; written as people write them. */
function detune(
  kind: EngineKind,
  best: Values,
  next: () => number,
  span: (low: number, high: number) => number,
): number[] {
  const other = () => next() < 0.15
  const off = [
    () => (other() ? 1 : -1 - Math.floor(2 * next())),
    () => (other() ? -span(2, 4) : span(2, 7)),
    () => (other() ? -2 : 2 * (1 + Math.floor(3 * next()))),
    () => -5 * (1 + Math.floor(2 * next())),
    () => (other() ? -1 : 1) * span(0.1, 0.25),
    () => span(0.2, 0.6),
  ]
  const start = [...best]
  const left = new Set(off.keys())
  for (let n = drawn(kind.off, next()); n > 0; n--) {
    const k = drawn(
      [...left].map((i) => [i, BLAME[i]!] as const),
      next(),
    )
    left.delete(k)
    start[k] = start[k]! + off[k]!()
  }
  return [
    Math.min(5, Math.max(1, start[0]!)),
    Math.round(start[1]!),
    start[2]!,
    Math.max(15, start[3]!),
    Number(start[4]!.toFixed(1)),
    Number(start[5]!.toFixed(1)),
  ]
}

function drawn(options: readonly (readonly [number, number])[], at: number): number {
  let left = at * options.reduce((sum, [, weight]) => sum + weight, 0)
  const found = options.find(([, weight]) => {
    left -= weight
    return left <= 0
  })
  return (found ?? options.at(-1)!)[0]
}
