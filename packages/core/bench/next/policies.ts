import { bestOf } from '../../src/tuning/best.js'
import { historyOf } from '../../src/tuning/history.js'
import { knobNamed } from '../../src/tuning/knobs.js'
import { type Rules, type Suggestion, suggest } from '../../src/tuning/next/index.js'
import type { TuningLog } from '../../src/tuning/types.js'
import { LIMIT_C, MODELLED, type Values } from './engine.js'
import { valuesOf } from './rider.js'

/** How a rider finds the next setting: by `next`, by a careful rule of thumb, or by turning knobs at random. */
export type PolicyName = 'next' | 'careful' | 'random'

/** What a policy asks for. */
export type Step =
  | { readonly do: 'ride'; readonly values: Values }
  /** Look for the cause of what is wrong, then ride so. */
  | { readonly do: 'mend'; readonly values: Values }
  /** Look at plug, cap and lead, then ride as before. */
  | { readonly do: 'plug'; readonly values: Values }
  | { readonly do: 'stop' }

export interface Situation {
  readonly log: TuningLog
  /** Air of the coming ride, °C; null where the rider does not write it. */
  readonly todayC: number | null
  readonly thermometer: boolean
  random(): number
}

/** What is a ride of its own; of the rest one cannot do here what it says. */
const RIDDEN: readonly Suggestion['kind'][] = ['change', 'back', 'separate', 'repeat', 'return', 'record']

export function followNext({ log, todayC, thermometer }: Situation, rules: Rules): Step {
  const history = todayC === null ? historyOf(log) : historyOf(log, undefined, todayC)
  const now = valuesOf(log.trials.at(-1)!.setting)
  for (const s of suggest(history, rules)) {
    if (s.kind === 'halt') return { do: 'mend', values: turned(now, s) }
    if (s.kind === 'measure-head') {
      if (thermometer) return { do: 'ride', values: now }
      continue
    }
    if (s.rule === 'look-at-the-plug') return { do: 'plug', values: now }
    if (!RIDDEN.includes(s.kind)) return { do: 'stop' }
    return { do: 'ride', values: turned(now, s) }
  }
  return { do: 'stop' }
}

function turned(now: Values, { first, change }: Suggestion): Values {
  const to = new Map([...first, ...(change ? [change] : [])].map((c) => [c.knob, c.to.value!] as const))
  return now.map((value, k) => to.get(MODELLED[k]!) ?? value)
}

/**
 * A careful rider without a program: a step richer where it ran hot or seized; else the needle a notch leaner while the
 * head is 40 K clear and it helps; then the spark 2 degrees later, then the gap narrower; back where it did not help.
 */
export function followCareful({ log }: Situation): Step {
  const last = log.trials.at(-1)!
  const now = [...valuesOf(last.setting)]
  if (last.trouble?.kind === 'seized' || (last.headC !== null && last.headC > LIMIT_C - 20)) {
    now[0] = Math.max(1, now[0]! - 1)
    return { do: 'mend', values: now }
  }
  const shareOf = (k: number) => {
    const { heard } = log.trials[k]!
    return heard.reduce((sum, h) => sum + h.skipped, 0) / heard.length
  }
  const n = log.trials.length - 1
  if (shareOf(n) < 0.06) return { do: 'stop' }
  if (n > 0 && shareOf(n) > shareOf(n - 1))
    return { do: 'ride', values: valuesOf(log.trials[n - 1]!.setting) }
  if (last.headC !== null && last.headC < LIMIT_C - 40 && now[0]! < 4) now[0] = now[0]! + 1
  else if (now[1]! > 14) now[1] = now[1]! - 2
  else if (now[4]! > 0.45) now[4] = now[4]! - 0.1
  else return { do: 'stop' }
  return { do: 'ride', values: now }
}

/** From the best setting so far, any knob one step any way. */
export function followRandom({ log, random }: Situation): Step {
  const best = bestOf(historyOf(log))?.score.setting ?? log.trials[0]!.setting
  const values = [...valuesOf(best)]
  const k = Math.floor(random() * MODELLED.length)
  values[k]! += (random() < 0.5 ? -1 : 1) * knobNamed(MODELLED[k]!)!.step
  return { do: 'ride', values }
}
