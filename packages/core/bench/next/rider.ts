import { seededRandom } from '../../src/math/random.js'
import { wilsonInterval } from '../../src/ratio/wilson.js'
import type { KnobValue, LoggedClip, Setting, Trial, Trouble, TuningLog } from '../../src/tuning/types.js'
import {
  type Conditions,
  type EngineKind,
  type HiddenEngine,
  LEAN_MARGIN,
  LIMIT_C,
  MODELLED,
  type Values,
} from './engine.js'

/** What a rider has under him, does and leaves out; drawn for a whole history. */
export interface Habits {
  readonly engine: EngineKind
  readonly thermometer: boolean
  /** How often a head is written in the other unit. */
  readonly wrongUnit: number
  readonly forgetsHead: number
  readonly writesAir: boolean
  /** Trial from which the engine draws air, and how much it leans; null for a sound engine. */
  readonly leak: { readonly from: number; readonly share: number } | null
  readonly weakPlug: boolean
  readonly passes: number
  /** Standard deviation between passes, share of turns, and of a head reading, K. */
  readonly passSd: number
  readonly headSdK: number
  /** Spread of the air from one ride to the next, K. */
  readonly weatherK: number
}

/** Turns of one pass, and how many independent ones they are worth. Chosen: half a minute of a mixed state. */
const TURNS = 1200
const INDEPENDENT = 150

export interface Rider {
  /** Air of the next ride, °C. */
  nextAir(airC: number): number
  /** True with this chance. */
  chance(share: number): boolean
  /** What the rider writes down of a ride. */
  write(ride: Ride, before: Ride | null, first: Ride | null): Trial
}

export interface Ride {
  readonly number: number
  readonly values: Values
  readonly conditions: Conditions
  /** True when the cause of earlier trouble was found and mended before. */
  readonly mended: boolean
}

export function makeRider(seed: number, engine: HiddenEngine, habits: Habits): Rider {
  const next = seededRandom(seed)
  const normal = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next())
  return {
    chance: (share) => next() < share,
    nextAir: (airC) => Math.min(38, Math.max(-5, airC + habits.weatherK * normal())),
    write: ({ number, values, conditions, mended }, before, first) => {
      const skipped = engine.skipped(values, conditions)
      const regular = engine.fourStrokes(values, conditions)
      const feel = (other: Ride | null) => pullAgainst(engine, values, conditions, other)
      return {
        number,
        date: '2026-01-01',
        changes: [],
        setting: settingOf(values, conditions),
        clips: Array.from({ length: habits.passes }, (_, i) => `${number}-${i + 1}`),
        heard: Array.from({ length: habits.passes }, (_, i) =>
          heardOf(`${number}-${i + 1}`, skipped + habits.passSd * normal(), patternOf(regular, next())),
        ),
        airC: habits.writesAir ? Math.round(conditions.airC) : null,
        headC: headOf(engine.headC(values, conditions) + habits.headSdK * normal(), habits, next),
        warm: true,
        pull: feel(before),
        pullFirst: feel(first),
        trouble: troubleOf(engine, values, conditions, mended, next),
        runningIn: false,
        underPull: null,
        noise: null,
        load: null,
        weather: null,
        note: null,
        line: 0,
      }
    },
  }
}

/** The beat as heard in one pass: three times in ten it cannot be told, once in ten it is told wrong. */
function patternOf(regular: boolean, at: number): string {
  if (at < 0.3) return 'cannot-tell'
  return regular === at < 0.93 ? 'every-other' : 'irregular'
}

function heardOf(clip: string, wished: number, pattern: string): LoggedClip {
  const skipped = Math.min(0.98, Math.max(0.005, wished))
  const [low, high] = wilsonInterval(skipped, INDEPENDENT)
  const readings = [Math.max(0, skipped - 0.01), Math.min(1, skipped + 0.01)] as const
  const common = { running: 'steady', rpm: 4700, turns: TURNS, independent: INDEPENDENT } as const
  return { ...common, clip, skipped, low, high, readings, pattern }
}

/** The head as written: forgotten, in the other unit, or refused by the log for a number that cannot be. */
function headOf(trueC: number, habits: Habits, next: () => number): number | null {
  const [forgets, slips] = [next() < habits.forgetsHead, next() < habits.wrongUnit]
  if (!habits.thermometer || forgets) return null
  if (!slips) return trueC
  // °C written as °F reads far too cool, °F written as °C far too hot.
  const written = next() < 0.5 ? (trueC - 32) / 1.8 : trueC * 1.8 + 32
  return written < 80 || written > 350 ? null : written
}

function pullAgainst(engine: HiddenEngine, values: Values, conditions: Conditions, other: Ride | null) {
  if (other === null) return null
  const change = engine.pull(values, conditions) / engine.pull(other.values, other.conditions) - 1
  return change > 0.06 ? 'better' : change < -0.06 ? 'worse' : 'same'
}

/** An engine over its limit by 15 K, or far too lean, nips up half the time; hardly anybody keeps that to himself. */
function troubleOf(
  engine: HiddenEngine,
  values: Values,
  conditions: Conditions,
  mended: boolean,
  next: () => number,
): Trouble | null {
  const overK = engine.headC(values, conditions) - LIMIT_C
  const isLean = engine.richness(values, conditions) < LEAN_MARGIN
  const seizes = (overK > 15 || isLean) && next() < 0.5
  if (seizes && next() < 0.9) return { kind: 'seized', words: 'seized' }
  return mended ? { kind: 'none', words: 'none' } : null
}

const UNITS: readonly string[] = [' from bottom', ' deg', '', ':1', ' mm', ' mm']

export function settingOf(values: Values, { weakPlug }: Conditions): Setting {
  return new Map<string, KnobValue>([
    ...MODELLED.map(
      (name, k) =>
        [name, { text: `${Number(values[k]!.toFixed(2))}${UNITS[k]}`, value: values[k]! }] as const,
    ),
    // Written into the log once it was looked at.
    ...(weakPlug ? [] : [['plug', { text: 'looked at', value: null }] as const]),
  ])
}

export function valuesOf(setting: Setting): Values {
  return MODELLED.map((name) => setting.get(name)!.value!)
}

export const BUILD: TuningLog['engine'] = {
  name: 'modelled',
  boreMm: null,
  strokeMm: null,
  rodMm: null,
  shaftMm: null,
  keyWidthMm: null,
  rotation: null,
  primary: null,
  sprockets: null,
  rollOut: null,
  slip: 0,
  flywheelMm: null,
  notches: 5,
  headLimitC: LIMIT_C,
  limitIsMakers: false,
}
