import { FIRED, PATTERNS, type Pattern, type Revolutions, SKIPPED, UNSURE } from '@everyrev/core'

/** What one made-up turn is like; everything has a plain default. */
export interface Turn {
  readonly fired?: number
  /** {@link LABELS} code; by default from `fired`: above 0.65 fired, below 0.35 skipped, else unsure. */
  readonly label?: number
  readonly low?: number
  readonly high?: number
  readonly rpm?: number
  readonly level?: number
  readonly pattern?: Pattern
  readonly reliability?: number
  /** Chance of a closed throttle; 0 by default. */
  readonly coasting?: number
  /** Silence before the turn, seconds; starts a new stretch. */
  readonly gapS?: number
}

/** Lines made-up turns up one after another. */
export function makeTurns(turns: readonly Turn[], startS = 0): Revolutions {
  const m = turns.length
  const timeS = new Float64Array(m)
  const durationS = new Float64Array(m)
  const stretch = new Int32Array(m)
  let at = startS
  let run = 0
  turns.forEach((turn, i) => {
    if (turn.gapS) {
      at += turn.gapS
      if (i > 0) run++
    }
    timeS[i] = at
    durationS[i] = 60 / (turn.rpm ?? 6000)
    stretch[i] = run
    at += durationS[i]!
  })
  const fired = turns.map((turn) => turn.fired ?? 1)
  return {
    timeS,
    durationS,
    speedRpm: Float64Array.from(turns, (turn) => turn.rpm ?? 6000),
    label: Uint8Array.from(
      turns,
      (turn, i) => turn.label ?? (fired[i]! > 0.65 ? FIRED : fired[i]! < 0.35 ? SKIPPED : UNSURE),
    ),
    firedProbability: Float32Array.from(fired),
    firedLow: Float32Array.from(turns, (turn, i) => turn.low ?? fired[i]!),
    firedHigh: Float32Array.from(turns, (turn, i) => turn.high ?? fired[i]!),
    pattern: Uint8Array.from(turns, (turn) => PATTERNS.indexOf(turn.pattern ?? 'every-turn')),
    level: Float32Array.from(turns, (turn) => turn.level ?? 0.1),
    stretch,
    speedProbability: Float32Array.from(turns, (turn) => turn.reliability ?? 1),
    coasting: Float32Array.from(turns, (turn) => turn.coasting ?? 0),
  }
}

/** `count` turns, each from its number. */
export function repeatTurn(count: number, turn: Turn | ((i: number) => Turn)): Turn[] {
  return Array.from({ length: count }, (_, i) => (typeof turn === 'function' ? turn(i) : turn))
}

/** All turns as one range. */
export function whole(revolutions: Revolutions) {
  return [{ firstTurn: 0, endTurn: revolutions.timeS.length }]
}
