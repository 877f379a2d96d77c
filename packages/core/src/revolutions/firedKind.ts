import { clamp, logistic, ramp } from '../math/stats.js'
import type { CutBand, RunTurns } from '../turns/index.js'
import { FIRED_KIND_SCORE, IDLE_VOTE, KIND_VOTE, MOST_KIND_LOGIT } from './constants.js'
import type { Stitched } from './stitch.js'
import { turnWeight, type WindowEvidence } from './windows.js'

/** Loudness and sharpness of every turn, decibels. */
interface TurnSounds {
  readonly lowEnergy: Float64Array
  readonly crackEnergy: Float64Array
  readonly hissEnergy: Float64Array
  readonly lowPeak: Float64Array
  readonly level: Float64Array
}

/**
 * Chance, turn by turn, that the high kind of the stitched component is the one that fired.
 *
 * The shape does not tell; level and sharpness vote window by window, and votes are averaged along the run as far
 * as neighbouring windows see the same component.
 *
 * @param highKind chance of the high kind at each turn
 * @param twoKinds chance of there being two kinds
 */
export function highKindFired(
  turns: RunTurns,
  windows: readonly WindowEvidence[],
  stitched: Stitched,
  highKind: Float64Array,
  twoKinds: Float64Array,
): Float64Array {
  const sounds = turnSounds(turns)
  const votes = windows.map(
    (w) => vote(sounds, w, highKind, twoKinds) + idleVote(turns, w, highKind, twoKinds),
  )
  const chances = carryVotes(votes, stitched.coupling)
  const out = new Float64Array(highKind.length)
  const total = new Float64Array(highKind.length)
  windows.forEach((window, w) => {
    for (let i = 0; i < window.turns; i++) {
      const weight = turnWeight(i, window.turns)
      const n = window.firstTurn + i
      out[n] = out[n]! + weight * chances[w]!
      total[n] = total[n]! + weight
    }
  })
  return out.map((v, n) => (total[n]! > 0 ? v / total[n]! : 0.5))
}

function turnSounds({ cuts, level }: RunTurns): TurnSounds {
  return {
    lowEnergy: energyDb(cuts[0]!),
    crackEnergy: energyDb(cuts[5]!),
    hissEnergy: energyDb(cuts[7]!),
    lowPeak: peakDb(cuts[0]!),
    level: level.map((v) => 20 * Math.log10(v + 1e-6)),
  }
}

function energyDb({ points, values, turns }: CutBand): Float64Array {
  return Float64Array.from({ length: turns }, (_, n) => {
    let sum = 0
    for (let p = n * points; p < (n + 1) * points; p++) sum += values[p]! ** 2
    return 10 * Math.log10(sum / points + 1e-12)
  })
}

function peakDb({ points, values, turns }: CutBand): Float64Array {
  return Float64Array.from({ length: turns }, (_, n) => {
    let peak = 0
    for (let p = n * points; p < (n + 1) * points; p++) peak = Math.max(peak, Math.abs(values[p]!))
    return 20 * Math.log10(peak + 1e-6)
  })
}

/** Log-odds that the high kind fired, from one window. */
function vote(
  sounds: TurnSounds,
  window: WindowEvidence,
  highKind: Float64Array,
  twoKinds: Float64Array,
): number {
  const from = window.firstTurn
  const to = from + window.turns
  let sure = 0
  for (let n = from; n < to; n++) sure += twoKinds[n]! / window.turns
  const difference = (x: Float64Array): number => {
    let high = 0
    let highWeight = 1e-9
    let low = 0
    let lowWeight = 1e-9
    for (let n = from; n < to; n++) {
      const p = highKind[n]!
      high += p * x[n]!
      highWeight += p
      low += (1 - p) * x[n]!
      lowWeight += 1 - p
    }
    if (highWeight < 1.5 || lowWeight < 1.5) return 0
    return high / highWeight - low / lowWeight
  }
  const sum =
    FIRED_KIND_SCORE.lowEnergy * difference(sounds.lowEnergy) +
    FIRED_KIND_SCORE.crackEnergy * difference(sounds.crackEnergy) +
    FIRED_KIND_SCORE.hissEnergy * difference(sounds.hissEnergy) +
    FIRED_KIND_SCORE.lowPeak * difference(sounds.lowPeak) +
    FIRED_KIND_SCORE.level * difference(sounds.level)
  return sure * clamp(sum, -MOST_KIND_LOGIT, MOST_KIND_LOGIT)
}

/** At idle firings are the exception (every 2 to 8 turns): the rarer kind is the likelier one to have fired. */
function idleVote(
  turns: RunTurns,
  window: WindowEvidence,
  highKind: Float64Array,
  twoKinds: Float64Array,
): number {
  const from = window.firstTurn
  const to = from + window.turns
  let high = 0.5
  let all = 1
  for (let n = from; n < to; n++) {
    high += highKind[n]! * twoKinds[n]!
    all += twoKinds[n]!
  }
  const speedHz = window.turns / (turns.startS[to]! - turns.startS[from]!)
  const idle = ramp(speedHz, IDLE_VOTE.noneHz, IDLE_VOTE.fullHz)
  return IDLE_VOTE.logit * idle * (all / (window.turns + 1)) * clamp(3 * (1 - (2 * high) / all), -1, 1)
}

/**
 * Chances from votes carried along the run as far as neighbouring windows see the same component.
 *
 * Votes of one clip err together (a microphone behind the rider, an engine whose skipped turns hiss), so they are
 * averaged, not added up: more windows make the average steadier, not the engine another one.
 */
function carryVotes(votes: readonly number[], coupling: Float64Array): number[] {
  const carry = (order: readonly number[], link: (w: number) => number) => {
    const sums = new Array<number>(votes.length).fill(0)
    const counts = new Array<number>(votes.length).fill(0)
    let sum = 0
    let count = 0
    for (const w of order) {
      sums[w] = sum
      counts[w] = count
      const kept = link(w) ** 2
      sum = (sum + votes[w]!) * kept
      count = (count + 1) * kept
    }
    return { sums, counts }
  }
  const order = votes.map((_, w) => w)
  const left = carry(order, (w) => coupling[w + 1] ?? 0)
  const right = carry([...order].reverse(), (w) => coupling[w] ?? 0)
  return votes.map((vote, w) => {
    const count = 1 + left.counts[w]! + right.counts[w]!
    const mean = (vote + left.sums[w]! + right.sums[w]!) / (count + KIND_VOTE.shrinkWindows)
    return logistic(KIND_VOTE.logitPerVote * mean)
  })
}
