/**
 * Follows `next` through simulated tuning histories and compares it with turning knobs at random:
 * `npm run accuracy:next [-- HISTORIES [FIRST SEED]]`.
 */
import { readFileSync } from 'node:fs'
import { parseRules } from '../../src/tuning/next/index.js'
import { type Policy, type RideOptions, rideHistory } from './rideHistory.js'

/** What a history has to come within of its best setting, share of turns. */
const CLOSE = 0.03
const TRIALS = 8

const [count = '200', firstSeed = '1'] = process.argv.slice(2)
const rules = parseRules(readFileSync(new URL('../../rules/next.yaml', import.meta.url), 'utf8'))

console.log(
  `${count} simulated histories from seed ${firstSeed}: a hidden best setting of six knobs, noise between passes.`,
)
console.log(
  `Share that has reached a setting within 3 points of the best one that is not too hot, after trial`,
)
console.log(`1 (the engine as built) to ${TRIALS}. A model of the search, not of any engine.\n`)
console.log(
  `passes  sd    policy  ${Array.from({ length: TRIALS }, (_, i) => String(i + 1).padStart(5)).join('')}  unsafe  too hot  stopped`,
)
for (const [passes, passSd] of [
  [2, 0.03],
  [3, 0.03],
  [3, 0.05],
] as const)
  for (const policy of ['next', 'random'] as const)
    console.log(line(policy, { trials: TRIALS, passes, passSd, headSdC: 2 }))

function line(policy: Policy, options: RideOptions): string {
  const rides = Array.from({ length: Number(count) }, (_, i) =>
    rideHistory(Number(firstSeed) + i, policy, rules, options),
  )
  const share = (trial: number) => rides.filter((r) => r.shortfall[trial]! <= CLOSE).length / rides.length
  const cells = Array.from({ length: TRIALS }, (_, i) => `${Math.round(100 * share(i))}%`.padStart(5))
  const sum = (of: (r: (typeof rides)[number]) => number) => rides.reduce((total, r) => total + of(r), 0)
  const stopped = rides.filter((r) => r.stoppedAfter !== null).length
  return `${String(options.passes).padStart(6)}  ${options.passSd.toFixed(2)}  ${policy.padEnd(6)}  ${cells.join('')}  ${String(sum((r) => r.unsafe)).padStart(6)}  ${String(sum((r) => r.hotTrials)).padStart(7)}  ${String(stopped).padStart(7)}`
}
