import { seededRandom } from '../../src/math/random.js'
import { wilsonInterval } from '../../src/score/wilson.js'
import { bestOf } from '../../src/tuning/best.js'
import { historyOf } from '../../src/tuning/history.js'
import { knobNamed } from '../../src/tuning/knobs.js'
import { type Rules, suggest } from '../../src/tuning/next/index.js'
import type { Heard, Setting, Trial, TuningLog } from '../../src/tuning/types.js'
import { COMMON_HEAD_LIMIT_C, headMargin } from '../../src/workshop/heat.js'
import { drawEngine, type HiddenEngine, SIMULATED, type Values } from './hiddenEngine.js'

/** How a rider finds the next setting. */
export type Policy = 'next' | 'random'

export interface Ride {
  /** Points, as a share, by which the best setting named after each trial is off the best that can be reached. */
  readonly shortfall: readonly number[]
  /** Suggestions to go leaner or hotter although the head is within the margin, or would be after one step. */
  readonly unsafe: number
  /** Trials ridden with the head within the margin of its limit or over. */
  readonly hotTrials: number
  readonly stoppedAfter: number | null
}

export interface RideOptions {
  /** Trials, the engine as built being the first. */
  readonly trials: number
  /** Passes a trial. */
  readonly passes: number
  /** Standard deviation between passes of one setting, share of turns, and of the head temperature, K. */
  readonly passSd: number
  readonly headSdC: number
}

/** Turns of one pass, and how many independent ones they are worth. Chosen: half a minute of a mixed state. */
const TURNS = 1200
const INDEPENDENT = 150

/** Rides one simulated tuning history. */
export function rideHistory(seed: number, policy: Policy, rules: Rules, options: RideOptions): Ride {
  const engine = drawEngine(seed)
  const next = seededRandom(seed * 7919 + 17)
  const normal = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next())
  let values: Values = engine.start
  let log: TuningLog = { engine: BUILD, trials: [], undone: 0, unit: 'C' }
  const shortfall: number[] = []
  let unsafe = 0
  let hotTrials = 0
  let stoppedAfter: number | null = null
  for (let number = 1; number <= options.trials; number++) {
    if (number > 1 && stoppedAfter === null) {
      const step = policy === 'next' ? followNext(log, rules) : followRandom(log, next)
      unsafe += step.unsafe
      if (step.values === null) stoppedAfter = number - 1
      else values = step.values
    }
    if (stoppedAfter === null) {
      if (headMargin(engine.headC(values)).state !== 'clear') hotTrials++
      log = { ...log, trials: [...log.trials, trialOf(number, engine, values, normal, options)] }
    }
    const named = bestOf(historyOf(log))?.score.setting
    shortfall.push((named ? engine.skipped(valuesOf(named)) : 1) - engine.bestReachable)
  }
  return { shortfall, unsafe, hotTrials, stoppedAfter }
}

const BUILD: TuningLog['engine'] = {
  name: 'simulated',
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
  headLimitC: COMMON_HEAD_LIMIT_C,
  limitIsMakers: false,
}

const UNITS: readonly string[] = [' from bottom', ' deg', '', ':1', ' mm', ' mm']

function settingOf(values: Values): Setting {
  return new Map(
    SIMULATED.map((name, k) => [
      name,
      { text: `${Number(values[k]!.toFixed(2))}${UNITS[k]}`, value: values[k]! },
    ]),
  )
}

function valuesOf(setting: Setting): Values {
  return SIMULATED.map((name) => setting.get(name)!.value!)
}

function trialOf(
  number: number,
  engine: HiddenEngine,
  values: Values,
  normal: () => number,
  { passes, passSd, headSdC }: RideOptions,
): Trial {
  const heard = Array.from({ length: passes }, (_, i): Heard => {
    const skipped = Math.min(0.98, Math.max(0.005, engine.skipped(values) + passSd * normal()))
    const [low, high] = wilsonInterval(skipped, INDEPENDENT)
    const common = { running: 'steady', rpm: 4700, turns: TURNS, independent: INDEPENDENT } as const
    const readings = [Math.max(0, skipped - 0.01), Math.min(1, skipped + 0.01)] as const
    return { ...common, clip: `${number}-${i + 1}`, skipped, low, high, readings, pattern: 'every-other' }
  })
  return {
    number,
    date: '2026-01-01',
    changes: [],
    setting: settingOf(values),
    clips: heard.map((h) => h.clip),
    heard,
    airC: 15,
    headC: engine.headC(values) + headSdC * normal(),
    warm: true,
    pull: null,
    pullFirst: null,
    trouble: null,
    runningIn: false,
    underPull: null,
    noise: null,
    load: null,
    weather: null,
    note: null,
    line: 0,
  }
}

/** The first suggestion that is something to ride; `values` is null when it says stop. */
function followNext(log: TuningLog, rules: Rules): { values: Values | null; unsafe: number } {
  const history = historyOf(log)
  const suggestions = suggest(history, rules)
  const headC = bestOf(history)?.score.headC ?? null
  const unsafe = suggestions.filter(
    (s) => (s.leaner || s.hotter) && (headC === null || headMargin(headC).state !== 'clear'),
  ).length
  // Going back is no trial of its own: every change starts from the best setting and says what to turn back first.
  const top = suggestions.find((s) => s.kind !== 'back')
  if (!top || top.kind === 'stop') return { values: null, unsafe }
  const from = valuesOf(top.from?.setting ?? log.trials.at(-1)!.setting)
  if (!top.change) return { values: from, unsafe }
  return {
    values: from.map((value, k) => (SIMULATED[k] === top.change!.knob ? top.change!.to.value! : value)),
    unsafe,
  }
}

/** From the best setting so far, any knob one step any way, unless it would leave the bounds of the simulation. */
function followRandom(log: TuningLog, next: () => number): { values: Values; unsafe: number } {
  const best = bestOf(historyOf(log))?.score.setting ?? log.trials[0]!.setting
  const values = [...valuesOf(best)]
  const k = Math.floor(next() * SIMULATED.length)
  values[k]! += (next() < 0.5 ? -1 : 1) * knobNamed(SIMULATED[k]!)!.step
  return { values, unsafe: 0 }
}
