import { END_OF_STATE, LOGIT_PER_TURN } from './constants.js'
import type { TwoLevels } from './levels.js'

/** Chances a turn: that it is of the high kind, and of each pattern (index into PATTERNS, 0 clean … 4 irregular). */
export interface ModeChances {
  /** Chance of kind 1 given that there are two kinds. */
  readonly highKind: Float64Array
  /** Chance that there are two kinds of turn here. */
  readonly twoKinds: Float64Array
  /** Rows of five. */
  readonly patterns: Float64Array
}

interface State {
  /** Index into PATTERNS. */
  readonly pattern: number
  /** −1: clean; else the kind of turn this state shows. */
  readonly kind: number
}

/** First state, length of the cycle: clean; alternate; one odd turn in three or four, odd high or odd low; free. */
const CYCLES: readonly { readonly pattern: number; readonly kinds: readonly number[]; readonly prior: number }[] = [
  { pattern: 0, kinds: [-1], prior: 0.4 },
  { pattern: 1, kinds: [0, 1], prior: 0.2 },
  { pattern: 2, kinds: [1, 0, 0], prior: 0.08 },
  { pattern: 2, kinds: [0, 1, 1], prior: 0.08 },
  { pattern: 3, kinds: [1, 0, 0, 0], prior: 0.05 },
  { pattern: 3, kinds: [0, 1, 1, 1], prior: 0.05 },
]
const FREE_PRIOR = 0.14
/** Chance that a free turn is of the same kind as the one before it. */
const FREE_STAYS = 0.5

const STATES: State[] = []
const PREDECESSOR: number[] = []
const ENTRY: number[] = []
for (const cycle of CYCLES) {
  const base = STATES.length
  cycle.kinds.forEach((kind, i) => {
    STATES.push({ pattern: cycle.pattern, kind })
    PREDECESSOR.push(base + ((i + cycle.kinds.length - 1) % cycle.kinds.length))
    ENTRY.push(cycle.prior / cycle.kinds.length)
  })
}
const FREE = STATES.length
STATES.push({ pattern: 4, kind: 0 }, { pattern: 4, kind: 1 })
PREDECESSOR.push(-1, -1)
ENTRY.push(FREE_PRIOR / 2, FREE_PRIOR / 2)
const COUNT = STATES.length

/**
 * Chances of every running pattern turn by turn: forward–backward over a hidden Markov model whose states are the
 * phases of clean running, alternation, every third, every fourth, and free skipping.
 *
 * @param component stitched leading component
 * @param logit     log-odds of two kinds of turn at each turn
 */
export function modeChances(component: Float64Array, logit: Float64Array, levels: TwoLevels): ModeChances {
  const n = component.length
  const emission = emissions(component, logit, levels)
  const forward = new Float64Array(n * COUNT)
  const backward = new Float64Array(n * COUNT)
  for (let s = 0; s < COUNT; s++) forward[s] = ENTRY[s]! * emission[s]!
  scaleRow(forward, 0)
  for (let k = 1; k < n; k++) {
    step(forward, (k - 1) * COUNT, forward, k * COUNT)
    for (let s = 0; s < COUNT; s++) forward[k * COUNT + s] = forward[k * COUNT + s]! * emission[k * COUNT + s]!
    scaleRow(forward, k)
  }
  backward.fill(1, (n - 1) * COUNT)
  const weighted = new Float64Array(COUNT)
  for (let k = n - 2; k >= 0; k--) {
    for (let s = 0; s < COUNT; s++) weighted[s] = backward[(k + 1) * COUNT + s]! * emission[(k + 1) * COUNT + s]!
    stepBack(weighted, backward, k * COUNT)
    scaleRow(backward, k)
  }
  return readChances(forward, backward, n)
}

function emissions(component: Float64Array, logit: Float64Array, levels: TwoLevels): Float64Array {
  const n = component.length
  const out = new Float64Array(n * COUNT)
  for (let k = 0; k < n; k++) {
    const spread = levels.spread[k]!
    const lows = gauss(component[k]!, levels.low[k]!, spread)
    const highs = gauss(component[k]!, levels.high[k]!, spread)
    const mixture = 0.5 * (lows + highs)
    const bonus = Math.exp(LOGIT_PER_TURN * logit[k]!)
    for (let s = 0; s < COUNT; s++) {
      const { kind } = STATES[s]!
      out[k * COUNT + s] = kind < 0 ? 1 : (bonus * (kind === 0 ? lows : highs)) / mixture
    }
  }
  return out
}

/** Density up to a factor, with a floor for the odd turn. */
function gauss(x: number, mean: number, spread: number): number {
  const z = (x - mean) / spread
  return Math.exp(-0.5 * z * z) + 0.01
}

/** One turn on: cycles go round, free states redraw, and now and then the state ends and any other begins. */
function step(from: Float64Array, a: number, to: Float64Array, b: number): void {
  let all = 0
  for (let s = 0; s < COUNT; s++) all += from[a + s]!
  for (let s = 0; s < FREE; s++) {
    to[b + s] = (1 - END_OF_STATE) * from[a + PREDECESSOR[s]!]! + END_OF_STATE * all * ENTRY[s]!
  }
  const low = from[a + FREE]!
  const high = from[a + FREE + 1]!
  const entry = END_OF_STATE * all * ENTRY[FREE]!
  to[b + FREE] = (1 - END_OF_STATE) * (FREE_STAYS * low + (1 - FREE_STAYS) * high) + entry
  to[b + FREE + 1] = (1 - END_OF_STATE) * (FREE_STAYS * high + (1 - FREE_STAYS) * low) + entry
}

function stepBack(weighted: Float64Array, out: Float64Array, at: number): void {
  let fresh = 0
  for (let s = 0; s < COUNT; s++) fresh += END_OF_STATE * ENTRY[s]! * weighted[s]!
  for (let s = 0; s < COUNT; s++) out[at + s] = fresh
  for (let s = 0; s < FREE; s++) {
    const p = at + PREDECESSOR[s]!
    out[p] = out[p]! + (1 - END_OF_STATE) * weighted[s]!
  }
  const low = weighted[FREE]!
  const high = weighted[FREE + 1]!
  out[at + FREE] = fresh + (1 - END_OF_STATE) * (FREE_STAYS * low + (1 - FREE_STAYS) * high)
  out[at + FREE + 1] = fresh + (1 - END_OF_STATE) * (FREE_STAYS * high + (1 - FREE_STAYS) * low)
}

function scaleRow(rows: Float64Array, k: number): void {
  let sum = 0
  for (let s = 0; s < COUNT; s++) sum += rows[k * COUNT + s]!
  for (let s = 0; s < COUNT; s++) rows[k * COUNT + s] = rows[k * COUNT + s]! / sum
}

function readChances(forward: Float64Array, backward: Float64Array, n: number): ModeChances {
  const highKind = new Float64Array(n)
  const twoKinds = new Float64Array(n)
  const patterns = new Float64Array(5 * n)
  for (let k = 0; k < n; k++) {
    let sum = 0
    let high = 0
    let low = 0
    for (let s = 0; s < COUNT; s++) {
      const p = forward[k * COUNT + s]! * backward[k * COUNT + s]!
      sum += p
      const { pattern, kind } = STATES[s]!
      patterns[5 * k + pattern] = patterns[5 * k + pattern]! + p
      if (kind === 1) high += p
      if (kind === 0) low += p
    }
    for (let q = 0; q < 5; q++) patterns[5 * k + q] = patterns[5 * k + q]! / sum
    twoKinds[k] = (high + low) / sum
    highKind[k] = high + low > 0 ? high / (high + low) : 0.5
  }
  return { highKind, twoKinds, patterns }
}
