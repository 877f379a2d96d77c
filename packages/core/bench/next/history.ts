import { seededRandom } from '../../src/math/random.js'
import { bestOf } from '../../src/tuning/best.js'
import { historyOf } from '../../src/tuning/history.js'
import type { Rules } from '../../src/tuning/next/index.js'
import type { TuningLog } from '../../src/tuning/types.js'
import {
  type Conditions,
  drawEngine,
  FAIR_DAY,
  type HiddenEngine,
  LEAN_MARGIN,
  type Values,
} from './engine.js'
import { followCareful, followNext, followRandom, type PolicyName, type Step } from './policies.js'
import { bestReachable } from './reachable.js'
import { BUILD, type Habits, makeRider, type Ride, valuesOf } from './rider.js'

/** What came of one history. */
export interface Outcome {
  readonly seed: number
  readonly habits: Habits
  /** Rides the policy asked for that took the head over its limit, the engine and the day being as they were known to be. */
  readonly drivenOver: number
  /** The same for a mixture beyond the lean margin. */
  readonly drivenLean: number
  /** Rides it asked for that left the engine leaner or hotter than it stood. */
  readonly harsher: number
  /** Rides but the first over the limit for whatever reason: a new leak, an unread head, the first ride's heat. */
  readonly over: number
  readonly seized: number
  /** By how much the best setting named after each trial is off the best that can be reached, share of turns. */
  readonly shortfall: readonly number[]
  readonly rides: number
  /** The setting named last. */
  readonly named: Values
}

/** A head within this of another is not hotter, K, nor a mixture leaner: rounding. */
const HEAT_SLACK_K = 0.5
const MIXTURE_SLACK = 0.002

/** Share of leaks that are found when looked for. Chosen. */
const FOUND = 0.5

/** Rides one history of at most `trials` rides, the engine as built being the first. */
export function rideHistory(
  seed: number,
  policy: PolicyName,
  rules: Rules,
  habits: Habits,
  trials: number,
): Outcome {
  const engine = drawEngine(seed, habits.engine)
  const rider = makeRider(seed * 7919 + 17, engine, habits)
  const random = seededRandom(seed * 31 + 7)
  const best = bestReachable(engine)
  let leakMended = false
  let weakPlug = habits.weakPlug
  const conditionsOf = (number: number, airC: number): Conditions => ({
    airC,
    weakPlug,
    leak: habits.leak && !leakMended && number >= habits.leak.from ? habits.leak.share : 0,
  })
  let ride: Ride = {
    number: 1,
    values: engine.start,
    conditions: conditionsOf(1, rider.nextAir(15)),
    mended: false,
  }
  const first = ride
  let log: TuningLog = { engine: BUILD, trials: [rider.write(ride, null, null)], undone: 0, unit: 'C' }
  const harm = { drivenOver: 0, drivenLean: 0, harsher: 0, over: 0, seized: 0 }
  const shortfall = [shortfallOf(engine, log, best)]
  while (shortfall.length < trials) {
    const airC = rider.nextAir(ride.conditions.airC)
    const step = ask(policy, rules, {
      log,
      todayC: habits.writesAir ? Math.round(airC) : null,
      thermometer: habits.thermometer,
      random,
    })
    if (step.do === 'stop') {
      shortfall.push(shortfall.at(-1)!)
      continue
    }
    if (step.do === 'plug') weakPlug = false
    const leaks = ride.conditions.leak > 0
    const found = step.do === 'mend' && leaks && rider.chance(FOUND)
    if (found) leakMended = true
    const mended = step.do === 'mend' && (found || !leaks)
    // Judged in what was known when it was asked for: the engine as last ridden, or mended, and the air of the day.
    const known: Conditions = { ...ride.conditions, airC, weakPlug, leak: found ? 0 : ride.conditions.leak }
    tally(harm, engine, ride.values, step.values, known)
    const number = ride.number + 1
    const before = ride
    ride = { number, values: step.values, conditions: conditionsOf(number, airC), mended }
    if (engine.headC(ride.values, ride.conditions) > engine.limitC) harm.over++
    const trial = rider.write(ride, before, first)
    if (trial.trouble?.kind === 'seized') harm.seized++
    log = { ...log, trials: [...log.trials, trial] }
    shortfall.push(shortfallOf(engine, log, best))
  }
  return {
    seed,
    habits,
    ...harm,
    shortfall,
    rides: log.trials.length,
    named: valuesOf(bestOf(historyOf(log))?.score.setting ?? log.trials[0]!.setting),
  }
}

function ask(policy: PolicyName, rules: Rules, situation: Parameters<typeof followNext>[0]): Step {
  if (policy === 'next') return followNext(situation, rules)
  return policy === 'careful' ? followCareful(situation) : followRandom(situation)
}

function tally(
  harm: { drivenOver: number; drivenLean: number; harsher: number },
  engine: HiddenEngine,
  from: Values,
  to: Values,
  known: Conditions,
): void {
  const [was, is] = [engine.headC(from, known), engine.headC(to, known)]
  const [wasRich, isRich] = [engine.richness(from, known), engine.richness(to, known)]
  if (is > engine.limitC && is > was + HEAT_SLACK_K) harm.drivenOver++
  if (isRich < LEAN_MARGIN && isRich < wasRich - MIXTURE_SLACK) harm.drivenLean++
  if (is > was + HEAT_SLACK_K || isRich < wasRich - MIXTURE_SLACK) harm.harsher++
}

function shortfallOf(engine: HiddenEngine, log: TuningLog, best: number): number {
  const named = bestOf(historyOf(log))?.score.setting
  return (named ? engine.skipped(valuesOf(named), FAIR_DAY) : 1) - best
}
