import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
import { END_OF_STATE, LOGIT_PER_TURN } from './constants.js'
import type { TwoLevels } from './levels.js'

/** Chances a turn: of the high kind, of there being two kinds, and of each pattern. */
export interface ModeChances {
  /** Chance of kind 1 given that there are two kinds. */
  readonly highKind: Float64Array
  /** Chance that there are two kinds of turn here. */
  readonly twoKinds: Float64Array
  /** Rows of five: index into PATTERNS, 0 clean … 4 irregular. */
  readonly patterns: Float64Array
}

interface State {
  /** Index into PATTERNS. */
  readonly pattern: number
  /** 0 low, 1 high. */
  readonly kind: number
  readonly twoKinds: boolean
  /** Chance that a new mode begins in this state. */
  readonly entry: number
  /** Chances of the states that may follow while the mode lasts, as [state, chance]. */
  readonly next: readonly (readonly [number, number])[]
}

/** Chance that a sporadic skip happens at a turn, and that a second one follows it at once. */
const SPORADIC = 0.07
const SPORADIC_AGAIN = 0.15

const STATES: readonly State[] = buildStates()
const COUNT = STATES.length
const ENTRY = Float64Array.from(STATES, (s) => s.entry)
/** All steps from state to state while a mode lasts. */
const STEP_LIST = STATES.flatMap((s, from) => s.next.map(([to, chance]) => ({ from, to, chance })))
const STEPS = STEP_LIST.length
const STEP_CHANCE = Float64Array.from(STEP_LIST, (s) => s.chance)

function buildStates(): State[] {
  const states: State[] = []
  const cycle = (pattern: number, kinds: readonly number[], prior: number, twoKinds = true): void => {
    const base = states.length
    kinds.forEach((kind, i) => {
      const next = [[base + ((i + 1) % kinds.length), 1]] as const
      states.push({ pattern, kind, twoKinds, entry: prior / kinds.length, next })
    })
  }
  /** Two states drawn at random: chance of leaving the first kind, and the second. */
  const drawn = (kinds: readonly [number, number], leave: readonly [number, number], prior: number): void => {
    const base = states.length
    const share = leave[1] / (leave[0] + leave[1])
    const row = (i: 0 | 1) =>
      [
        [base + i, 1 - leave[i]],
        [base + 1 - i, leave[i]],
      ] as const
    states.push({ pattern: 4, kind: kinds[0], twoKinds: true, entry: prior * share, next: row(0) })
    states.push({ pattern: 4, kind: kinds[1], twoKinds: true, entry: prior * (1 - share), next: row(1) })
  }
  cycle(0, [0], 0.4, false)
  cycle(1, [0, 1], 0.18)
  cycle(2, [1, 0, 0], 0.07)
  cycle(2, [0, 1, 1], 0.07)
  cycle(3, [1, 0, 0, 0], 0.04)
  cycle(3, [0, 1, 1, 1], 0.04)
  drawn([0, 1], [0.5, 0.5], 0.1)
  drawn([0, 1], [SPORADIC, 1 - SPORADIC_AGAIN], 0.05)
  drawn([1, 0], [SPORADIC, 1 - SPORADIC_AGAIN], 0.05)
  return states
}

/**
 * Chances of every running pattern turn by turn: forward–backward over a hidden Markov model whose states are the
 * phases of clean running, alternation, every third, every fourth, free and sporadic skipping.
 *
 * @param values   one number a turn that takes two levels where there are two kinds of turn
 * @param logit    log-odds of two kinds of turn at each turn
 * @param validity 0–1 a turn: how far the values also describe even running, because pictures of both kinds are near
 */
export function modeChances(
  values: Float64Array,
  logit: Float64Array,
  levels: TwoLevels,
  validity: Float64Array,
): ModeChances {
  const n = values.length
  const emission = emissions(values, logit, levels, validity)
  const layout = makeLayout()
  const heard = layout.take(2 * n * COUNT)
  const entry = layout.take(2 * COUNT)
  const ends = layout.take(2 * STEPS)
  const chances = layout.take(2 * STEPS)
  const forward = layout.take(2 * n * COUNT)
  const backward = layout.take(2 * n * COUNT)
  const kernels = borrowKernels(layout.total())
  const { ints, doubles } = kernels
  doubles.set(emission, heard / 2)
  doubles.set(ENTRY, entry / 2)
  doubles.set(STEP_CHANCE, chances / 2)
  STEP_LIST.forEach(({ from, to }, i) => {
    ints.set([from, to], ends + 2 * i)
  })
  const rows = (at: number): Float64Array => doubles.subarray(at / 2, at / 2 + n * COUNT)
  if (n > 0) {
    kernels.chainForward(heard, n, COUNT, entry, ends, chances, STEPS, END_OF_STATE, forward)
    kernels.chainBackward(heard, n, COUNT, entry, ends, chances, STEPS, END_OF_STATE, backward)
  }
  return readChances(rows(forward), rows(backward), n)
}

function emissions(
  values: Float64Array,
  logit: Float64Array,
  levels: TwoLevels,
  validity: Float64Array,
): Float64Array {
  const n = values.length
  const out = new Float64Array(n * COUNT)
  const around = medianOfNeighbours(values)
  for (let k = 0; k < n; k++) {
    const spread = levels.spread[k]!
    const lows = density(values[k]!, levels.low[k]!, spread)
    const highs = density(values[k]!, levels.high[k]!, spread)
    const mixture = 0.5 * (lows + highs)
    const bonus = Math.exp(LOGIT_PER_TURN * logit[k]!)
    const v = validity[k]!
    // Even running keeps to its neighbours, at whatever level: a steady firing lies between a skip and the firing after one.
    const even = v * density(values[k]!, around[k]!, spread) + (1 - v) * mixture
    const low = (bonus * lows) / mixture
    const high = (bonus * highs) / mixture
    for (let s = 0; s < COUNT; s++) {
      const { kind, twoKinds } = STATES[s]!
      out[k * COUNT + s] = twoKinds ? (kind === 0 ? low : high) : even / mixture
    }
  }
  return out
}

/** Turns on either side that even running is held against. */
const NEIGHBOURS = 3

/** Median of the turns around each turn, itself left out. */
function medianOfNeighbours(values: Float64Array): Float64Array {
  return values.map((_, n) => {
    const near: number[] = []
    for (let m = Math.max(0, n - NEIGHBOURS); m <= Math.min(values.length - 1, n + NEIGHBOURS); m++)
      if (m !== n) near.push(values[m]!)
    near.sort((x, y) => x - y)
    return near.length === 0 ? values[n]! : 0.5 * (near[(near.length - 1) >> 1]! + near[near.length >> 1]!)
  })
}

/** Normal density up to a factor, with a floor for the odd turn. */
function density(x: number, mean: number, spread: number): number {
  const z = (x - mean) / spread
  return Math.exp(-0.5 * z * z) + 0.003
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
      const state = STATES[s]!
      patterns[5 * k + state.pattern] = patterns[5 * k + state.pattern]! + p
      if (!state.twoKinds) continue
      if (state.kind === 1) high += p
      else low += p
    }
    for (let q = 0; q < 5; q++) patterns[5 * k + q] = patterns[5 * k + q]! / sum
    twoKinds[k] = (high + low) / sum
    highKind[k] = high + low > 0 ? high / (high + low) : 0.5
  }
  return { highKind, twoKinds, patterns }
}
