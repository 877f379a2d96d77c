import { BINS_PER_OCTAVE, SPEED_BINS, SPEED_LOW_HZ } from '../ear/constants.js'
import {
  EDGE_COST,
  FRAME_WEIGHT,
  JUMP_COST,
  LEAST_LOG_CHANCE,
  MOST_MOVE,
  MOVE_COST,
  NO_ENGINE_COST,
} from './constants.js'

/** Place of "no engine" behind the speeds, in the ear's rows and in paths. Derived. */
export const NO_ENGINE = SPEED_BINS
const ROW = SPEED_BINS + 1

/** Steps that lead to a place; smaller ones are moves from `MOST_MOVE` bins above to as many below. Derived. */
const JUMPED = 2 * MOST_MOVE + 1
const STARTED = JUMPED + 1

/**
 * The likeliest way through the crank speeds.
 *
 * Dynamic programming over all speeds and "no engine": every frame counts by its chance, every move of the speed, jump, start
 * and stop costs. What speeds somebody expects does not count here: it only weighs one multiple against another, in `chooseMultiple`,
 * so that it neither hides an engine nor makes one up.
 *
 * Places that a jump or a start reaches at less cost than they have are dead: nothing leads on from them. In clear sound a
 * dozen are alive, so that only these are looked at, and what is heard in a frame better than the leader.
 *
 * @param speed    rows of log-chances as in `Heard`
 * @returns a bin a frame, or {@link NO_ENGINE}
 * @remarks O(frames · bins) at the least, times 15 in sound in which every speed is as likely.
 * @see Viterbi, "Error bounds for convolutional codes", IEEE Transactions on Information Theory 13 (1967)
 */
export function bestPath(speed: Float32Array): Uint8Array {
  const frames = speed.length / ROW
  const steps = new Uint8Array(frames * ROW)
  const leaders = new Uint8Array(frames)
  let ways: Ways = { score: new Float64Array(ROW), first: 0, last: SPEED_BINS - 1, leader: 0 }
  let spare: Float64Array = new Float64Array(ROW)
  for (let t = 0; t < frames; t++) {
    leaders[t] = ways.leader
    const { score } = ways
    ways = nextFrame(ways, spare, speed, steps, t * ROW)
    spare = score
  }
  const path = new Uint8Array(frames)
  let at = ways.score[NO_ENGINE]! > ways.score[ways.leader]! ? NO_ENGINE : ways.leader
  for (let t = frames - 1; t >= 0; t--) {
    path[t] = at
    const step = steps[t * ROW + at]!
    if (step === STARTED) at = NO_ENGINE
    else at = step === JUMPED ? leaders[t]! : at + step - MOST_MOVE
  }
  return path
}

/** Scores of the best ways to every place; those that live lie between `first` and `last`, and the likeliest of them leads. */
interface Ways {
  readonly score: Float64Array
  readonly first: number
  readonly last: number
  readonly leader: number
}

/** One frame on: the best way to every place that can matter, written to `next`, and its last step, from `row` on in `steps`. */
function nextFrame(
  { score, first, last, leader }: Ways,
  next: Float64Array,
  heard: Float32Array,
  steps: Uint8Array,
  row: number,
): Ways {
  // Counted from the best, so that sums stay small however long the sound.
  const base = Math.max(score[leader]!, score[NO_ENGINE]!)
  const lead = score[leader]! - base
  const none = score[NO_ENGINE]! - base
  const anywhere = Math.max(lead - JUMP_COST, none - EDGE_COST)
  next.fill(Number.NEGATIVE_INFINITY)
  steps.fill(none - EDGE_COST > lead - JUMP_COST ? STARTED : JUMPED, row, row + ROW)
  for (let from = first; from <= last; from++) {
    const own = score[from]! - base
    if (own <= anywhere) continue
    const end = Math.min(SPEED_BINS - 1, from + MOST_MOVE)
    for (let to = Math.max(0, from - MOST_MOVE); to <= end; to++) {
      const moved = own - MOVE_COST * Math.abs(to - from)
      if (moved <= anywhere || moved <= next[to]!) continue
      next[to] = moved
      steps[row + to] = from - to + MOST_MOVE
    }
  }
  // Whoever comes from anywhere lives on only if heard better than the leader and than no engine.
  const enough = Math.max(
    lead - JUMP_COST + weighed(heard[row + leader]!),
    none - EDGE_COST + weighed(heard[row + NO_ENGINE]! - NO_ENGINE_COST),
  )
  const least = (enough - anywhere) / FRAME_WEIGHT
  const found = { score: next, first: SPEED_BINS, last: -1, leader: 0 }
  for (let b = 0; b < SPEED_BINS; b++) {
    const way = next[b]!
    if (way === Number.NEGATIVE_INFINITY && heard[row + b]! < least) continue
    next[b] = Math.max(way, anywhere) + weighed(heard[row + b]!)
    if (found.last < 0) found.first = b
    found.last = b
    if (next[b]! > next[found.leader]!) found.leader = b
  }
  steps[row + NO_ENGINE] = lead - EDGE_COST > none ? JUMPED : STARTED
  next[NO_ENGINE] = Math.max(lead - EDGE_COST, none) + weighed(heard[row + NO_ENGINE]! - NO_ENGINE_COST)
  return found
}

/** What the log-chance of one frame counts. */
function weighed(logChance: number): number {
  return FRAME_WEIGHT * Math.max(LEAST_LOG_CHANCE, logChance)
}

/** Turns a second of a bin. */
export function binHz(bin: number): number {
  return SPEED_LOW_HZ * 2 ** (bin / BINS_PER_OCTAVE)
}
