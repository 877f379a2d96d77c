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
  const component = new Float64Array(turns)
  const logit = new Float64Array(turns)
  const agreement = new Float64Array(turns)
  const total = new Float64Array(turns)
  windows.forEach((window, w) => {
    const scale = signs[w]! * Math.sqrt(window.turns)
    for (let i = 0; i < window.turns; i++) {
      const weight = turnWeight(i, window.turns)
      const n = window.firstTurn + i
      total[n] = total[n]! + weight
      component[n] = component[n]! + weight * scale * window.component[i]!
      logit[n] = logit[n]! + weight * logits[w]!
      agreement[n] = agreement[n]! + weight * window.agreement
    }
  })
  for (let n = 0; n < turns; n++) {
    const t = total[n]! || 1
    component[n] = component[n]! / t
    logit[n] = logit[n]! / t
    agreement[n] = agreement[n]! / t
  }
  return { component, logit, agreement }
}

/** Product of two components over the turns they share. */
function overlapProduct(a: WindowEvidence, b: WindowEvidence): number {
  const shift = b.firstTurn - a.firstTurn
  let sum = 0
  for (let i = 0; i + shift < a.turns; i++) sum += a.component[i + shift]! * b.component[i]!
  return sum
}
