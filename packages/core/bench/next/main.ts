import { readFileSync } from 'node:fs'
import { parseRules, type Rules } from '../../src/tuning/next/index.js'
import { type Policy, type RideOptions, rideHistory } from './rideHistory.js'

/** What a history has to come within of its best setting, share of turns. */
const CLOSE = 0.03
const TRIALS = 8

/**
 * `npm run accuracy -- next [HISTORIES [FIRST SEED]]`: follows `next` through simulated tuning histories and compares it
 * with turning knobs at random. The weights of the rules were set on seeds from 5001 on; 1 to 200 are for scoring.
 */
export function scoreNext([count = '200', firstSeed = '1']: readonly string[]): void {
  const seeds = Array.from({ length: Number(count) }, (_, i) => Number(firstSeed) + i)
  const rules = parseRules(readFileSync(new URL('../../rules/next.yaml', import.meta.url), 'utf8'))
  const trials = Array.from({ length: TRIALS }, (_, i) => String(i + 1).padStart(5)).join('')
  console.log(`${seeds.length} simulated tuning histories from seed ${firstSeed}: six knobs, a hidden best setting, noise between
passes. Share that has named a setting within 3 points of the best one that is not too hot after
trial 1 (the engine as built) to ${TRIALS}. A model of the search, not of any engine.

passes  sd    policy  ${trials}  unsafe  too hot  stopped`)
  for (const [passes, passSd] of CASES)
    for (const policy of ['next', 'random'] as const)
      console.log(line(seeds, policy, rules, { trials: TRIALS, passes, passSd, headSdC: 2 }))
}

/** Passes a trial and their standard deviation, share of turns. */
const CASES = [
  [2, 0.03],
  [3, 0.03],
  [3, 0.05],
] as const

function line(seeds: readonly number[], policy: Policy, rules: Rules, options: RideOptions): string {
  const rides = seeds.map((seed) => rideHistory(seed, policy, rules, options))
  const share = (trial: number) => rides.filter((r) => r.shortfall[trial]! <= CLOSE).length / rides.length
  const cells = Array.from({ length: TRIALS }, (_, i) => `${Math.round(100 * share(i))}%`.padStart(5))
  const sum = (of: (r: (typeof rides)[number]) => number) => rides.reduce((total, r) => total + of(r), 0)
  const stopped = rides.filter((r) => r.stoppedAfter !== null).length
  return `${String(options.passes).padStart(6)}  ${options.passSd.toFixed(2)}  ${policy.padEnd(6)}  ${cells.join('')}  ${String(sum((r) => r.unsafe)).padStart(6)}  ${String(sum((r) => r.hotTrials)).padStart(7)}  ${String(stopped).padStart(7)}`
}
