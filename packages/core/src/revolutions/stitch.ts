import { turnWeight, type WindowEvidence } from './windows.js'

/** The windows' components joined into one series a run. */
export interface Stitched {
  /** Length turns: the component, rms about 1 within a window. */
  readonly component: Float64Array
  /** Length turns: log-odds that there are two kinds of turn here. */
  readonly logit: Float64Array
  /** Length turns: split-half agreement, −1…1. */
  readonly agreement: Float64Array
}

/** Sign of each window's component such that neighbours agree; the first is 1. */
export function alignSigns(windows: readonly WindowEvidence[]): Int8Array {
  const signs = new Int8Array(windows.length).fill(1)
  for (let w = 1; w < windows.length; w++)
    signs[w] = overlapProduct(windows[w - 1]!, windows[w]!) * signs[w - 1]! < 0 ? -1 : 1
  return signs
}

/** Joins overlapping windows with their signs: Hann-weighted means. */
export function stitch(
  windows: readonly WindowEvidence[],
  signs: ArrayLike<number>,
  logits: readonly number[],
  turns: number,
): Stitched {
  const over = (of: (w: number, i: number) => number) => overTurns(windows, turns, of, 0)
  return {
    component: over((w, i) => signs[w]! * Math.sqrt(windows[w]!.turns) * windows[w]!.component[i]!),
    logit: over((w) => logits[w]!),
    agreement: over((w) => windows[w]!.agreement),
  }
}

/**
 * Hann-weighted mean over the windows that hold a turn, turn by turn.
 *
 * @param of what window `w` says of its turn `i`
 * @param unseen  value of turns that no window holds
 */
export function overTurns(
  windows: readonly WindowEvidence[],
  turns: number,
  of: (w: number, i: number) => number,
  unseen: number,
): Float64Array {
  const sum = new Float64Array(turns)
  const total = new Float64Array(turns)
  windows.forEach((window, w) => {
    for (let i = 0; i < window.turns; i++) {
      const weight = turnWeight(i, window.turns)
      const n = window.firstTurn + i
      total[n] = total[n]! + weight
      sum[n] = sum[n]! + weight * of(w, i)
    }
  })
  return sum.map((v, n) => (total[n]! > 0 ? v / total[n]! : unseen))
}

/** Product of two components over the turns they share. */
function overlapProduct(a: WindowEvidence, b: WindowEvidence): number {
  const shift = b.firstTurn - a.firstTurn
  let sum = 0
  for (let i = 0; i + shift < a.turns; i++) sum += a.component[i + shift]! * b.component[i]!
  return sum
}
