import { HEAD_MARGIN_C } from '../../src/workshop/heat.js'
import { FAIR_DAY, type HiddenEngine, type Values } from './engine.js'

/** Steps that a rider can make, and the values that fit the engine, in the order of the model's knobs. */
const STEPS = [1, 2, 2, 5, 0.1, 0.2] as const
const BOUNDS = [
  [1, 5],
  [10, 30],
  [50, 90],
  [16, 40],
  [0.4, 0.9],
  [0.6, 3],
] as const

/** Found once for every engine: half a million settings each. */
const FOUND = new Map<string, number>()

/** Fewest skipped turns that whole steps from the start can reach with the head 25 K clear of the limit, on a fair day. */
export function bestReachable(engine: HiddenEngine): number {
  const key = `${engine.start} ${engine.likes}`
  const known = FOUND.get(key)
  if (known !== undefined) return known
  let least = engine.skipped(engine.start, FAIR_DAY)
  const walk = (values: readonly number[]): void => {
    const k = values.length
    if (k === STEPS.length) {
      if (engine.headC(values, FAIR_DAY) < engine.limitC - HEAD_MARGIN_C)
        least = Math.min(least, engine.skipped(values, FAIR_DAY))
      return
    }
    for (const value of around(engine.start, k)) walk([...values, value])
  }
  walk([])
  FOUND.set(key, least)
  return least
}

function around(start: Values, k: number): number[] {
  const [low, high] = BOUNDS[k]!
  const values = [start[k]!]
  for (let n = -4; n <= 4; n++) {
    const value = start[k]! + n * STEPS[k]!
    if (n !== 0 && value >= low - 1e-9 && value <= high + 1e-9) values.push(value)
  }
  return values
}
