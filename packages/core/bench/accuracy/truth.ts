import type { TrueTurns } from './match.js'

/** How long after the exhaust opens the anchor of a turn lies, turns: the middle of a turn counted from top dead centre. */
const ANCHOR_TURNS = 0.2
/** Truth label codes of both simulators. */
export const TRUE_FIRED = 0
export const TRUE_SKIPPED = 1
export const TRUE_PARTIAL = 2

/** Truth of a simulated clip, the same for both simulators. */
export interface TurnTruth extends TrueTurns {
  readonly startS: Float64Array
  readonly endS: Float64Array
  readonly anchorS: Float64Array
  readonly speedRpm: Float64Array
  /** Share of the charge burnt, 0–1. */
  readonly burn: Float32Array
  /** 0 fired, 1 skipped, 2 partial. */
  readonly label: Uint8Array
  /** 1 where the throttle is closed and nothing is meant to fire. */
  readonly coasting: Uint8Array
}

interface RawTruth {
  readonly turnStartS: Float64Array
  readonly turnEndS: Float64Array
  /** When the exhaust opens; absent where turns start with it. */
  readonly pulseS?: Float64Array
  readonly speedRpm: Float64Array
  readonly burn: Float32Array
  readonly label: Uint8Array
  readonly state: readonly string[]
}

/** Brings the truth of either simulator to one form. */
export function turnTruth(raw: RawTruth): TurnTruth {
  const { turnStartS, turnEndS, pulseS = turnStartS, speedRpm, burn, label, state } = raw
  const anchorS = pulseS.map((opensS, i) => opensS + ANCHOR_TURNS * (turnEndS[i]! - turnStartS[i]!))
  const coasting = Uint8Array.from(state, (word) => (word === 'coasting' ? 1 : 0))
  return { startS: turnStartS, endS: turnEndS, anchorS, speedRpm, burn, label, coasting }
}

/** Share of skipped turns from `first` to `end` without coasting; a partial burn counts with what was not burnt. */
export function skippedShare(truth: TurnTruth, first = 0, end = truth.burn.length) {
  let turns = 0
  let soft = 0
  let hard = 0
  for (let i = first; i < end; i++) {
    if (truth.coasting[i]) continue
    turns++
    soft += truth.label[i] === TRUE_FIRED ? 0 : truth.label[i] === TRUE_SKIPPED ? 1 : 1 - truth.burn[i]!
    hard += truth.burn[i]! < 0.5 ? 1 : 0
  }
  return { turns, soft: soft / turns, hard: hard / turns }
}
