import { readFileSync } from 'node:fs'
import { seededRandom } from '../../src/math/random.js'
import { parseRules, type Rules } from '../../src/tuning/next/index.js'
import { wholeNumber } from '../accuracy/options.js'
import { ANY_ENGINE, USUAL_ENGINE } from './engine.js'
import { type Outcome, rideHistory } from './history.js'
import type { PolicyName } from './policies.js'
import type { Habits } from './rider.js'

/** What a history has to come within of its best setting, share of turns. */
const CLOSE = 0.03
const TRIALS = 8
/** Seeds from here on are for scoring only; the rules were set on 1001 to 3500. */
export const SCORING_SEED = 40_001

/**
 * `npm run accuracy -- next [HISTORIES [FIRST SEED]]`: follows `next`, a careful rider's rule, and knobs at random through
 * simulated tuning histories, and looks at the engine that comes of it.
 *
 * @throws {Error} with one clear line for what is no whole number
 */
export function scoreNext([count = '500', firstSeed = String(SCORING_SEED)]: readonly string[]): void {
  const first = wholeNumber(firstSeed, 'FIRST SEED')
  const seeds = Array.from({ length: wholeNumber(count, 'HISTORIES') }, (_, i) => first + i)
  const rules = parseRules(readFileSync(new URL('../../rules/next.yaml', import.meta.url), 'utf8'))
  console.log(`${seeds.length} simulated histories of ${TRIALS} rides from seed ${firstSeed}. The engine that results, in a model: not any
engine. Histories in which following the policy ever took the head over its limit, or the mixture beyond the lean margin,
as the engine was then known to be; histories with a ride over the limit for whatever reason (a new leak, a hot start);
histories that seized; histories ever left leaner or hotter than before; share within 3 points of the best after 8 rides.

histories                      policy    over  lean  any over  seized  harsher  within 3 points`)
  for (const [name, habitsOf] of CASES)
    for (const policy of ['next', 'careful', 'random'] as const)
      console.log(line(name, seeds, policy, rules, habitsOf))
}

export const SOUND: Habits = {
  engine: USUAL_ENGINE,
  thermometer: true,
  wrongUnit: 0,
  forgetsHead: 0,
  writesAir: true,
  leak: null,
  weakPlug: false,
  passes: 3,
  passSd: 0.03,
  headSdK: 2,
  weatherK: 1,
}

/** Every history its own: passes, noise, weather, leaks and slips of the pen beyond what the rules were set on. */
export function anyHabits(seed: number, thermometer: boolean): Habits {
  const next = seededRandom(seed * 104_729 + 3)
  const leaks = next() < 0.25
  return {
    engine: ANY_ENGINE,
    thermometer,
    wrongUnit: next() < 0.25 ? 0.3 : 0,
    forgetsHead: next() < 0.3 ? 0.25 : 0,
    writesAir: next() < 0.7,
    leak: leaks ? { from: 2 + Math.floor(6 * next()), share: 0.03 + 0.09 * next() } : null,
    weakPlug: next() < 0.15,
    passes: 1 + Math.floor(4 * next()),
    passSd: 0.01 + 0.05 * next(),
    headSdK: 1 + 4 * next(),
    weatherK: 2 + 6 * next(),
  }
}

const CASES: readonly (readonly [name: string, habitsOf: (seed: number) => Habits])[] = [
  ['sound, passes differ by 3', () => SOUND],
  ['sound, passes differ by 5', () => ({ ...SOUND, passSd: 0.05 })],
  ['sound, 3, weather by 4 K', () => ({ ...SOUND, weatherK: 4 })],
  ['anything, thermometer', (seed) => anyHabits(seed, true)],
  ['anything, none', (seed) => anyHabits(seed, false)],
]

function line(
  name: string,
  seeds: readonly number[],
  policy: PolicyName,
  rules: Rules,
  habitsOf: (seed: number) => Habits,
): string {
  const outcomes = seeds.map((seed) => rideHistory(seed, policy, rules, habitsOf(seed), TRIALS))
  const count = (of: (o: Outcome) => boolean, width: number) =>
    String(outcomes.filter(of).length).padStart(width)
  const close = outcomes.filter(({ shortfall }) => shortfall.at(-1)! <= CLOSE).length
  return `${name.padEnd(29)}  ${policy.padEnd(7)} ${count((o) => o.drivenOver > 0, 6)}${count((o) => o.drivenLean > 0, 6)}${count((o) => o.over > 0, 10)}${count((o) => o.seized > 0, 8)}${count((o) => o.harsher > 0, 9)}${`${Math.round((100 * close) / outcomes.length)} %`.padStart(17)}`
}
