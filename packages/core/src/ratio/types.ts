/** A share of turns with its 95 % interval. */
export interface Ratio {
  /** 0–1; null when it cannot be told. */
  readonly value: number | null
  readonly low: number | null
  readonly high: number | null
  /** Turns it rests on. */
  readonly turns: number
}

/** Turns in a row: first turn and one past the last, indices into `Revolutions`. */
export interface TurnRange {
  readonly firstTurn: number
  readonly endTurn: number
}
