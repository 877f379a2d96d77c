import { turnWeight, type WindowEvidence } from './windows.js'

/** The windows' components joined into one series a run. */
export interface Stitched {
  /** Sign given to each window so that neighbours agree. */
  readonly signs: Int8Array
  /** Correlation of each window with the one before it after alignment, 0–1; 0 for the first. */
  readonly coupling: Float64Array
  /** Length turns: the component, rms about 1 within a window. */
  readonly component: Float64Array
  /** Length turns: log-odds that there are two kinds of turn here. */
  readonly logit: Float64Array
  /** Length turns: split-half agreement, −1…1. */
  readonly agreement: Float64Array
}

/** Joins overlapping windows: signs aligned from one to the next, Hann-weighted means. */
export function stitch(
  windows: readonly WindowEvidence[],
  logits: readonly number[],
  turns: number,
): Stitched {
  const signs = new Int8Array(windows.length).fill(1)
  const coupling = new Float64Array(windows.length)
  const component = new Float64Array(turns)
  const logit = new Float64Array(turns)
  const agreement = new Float64Array(turns)
  const total = new Float64Array(turns)
  windows.forEach((window, w) => {
    if (w > 0) {
      const overlap = overlapCorrelation(windows[w - 1]!, window) * signs[w - 1]!
      signs[w] = overlap < 0 ? -1 : 1
      coupling[w] = Math.abs(overlap)
    }
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
  return { signs, coupling, component, logit, agreement }
}

function overlapCorrelation(a: WindowEvidence, b: WindowEvidence): number {
  const shift = b.firstTurn - a.firstTurn
  let ab = 0
  let aa = 0
  let bb = 0
  for (let i = 0; i + shift < a.turns; i++) {
    const x = a.component[i + shift]!
    const y = b.component[i]!
    ab += x * y
    aa += x * x
    bb += y * y
  }
  return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0
}
