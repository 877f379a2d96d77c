/** Borders of the bins of probability of the called label; the first is a coin toss, the last near certainty. */
export const BIN_EDGES = [0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 1] as const
const BINS = BIN_EDGES.length - 1

/** Turns by the probability of their called label: how many, how many right, sum of the probabilities. */
export interface Calibration {
  readonly turns: number[]
  readonly right: number[]
  readonly claimed: number[]
}

export function noCalibration(): Calibration {
  const zeros = (): number[] => new Array<number>(BINS).fill(0)
  return { turns: zeros(), right: zeros(), claimed: zeros() }
}

/** Enters one turn: the chance given that it fired, and whether it did. */
export function addTurn(to: Calibration, firedProbability: number, fired: boolean): void {
  const claimed = Math.max(firedProbability, 1 - firedProbability)
  let bin = 0
  while (bin < BINS - 1 && claimed >= BIN_EDGES[bin + 1]!) bin++
  to.turns[bin]!++
  to.claimed[bin]! += claimed
  if (firedProbability >= 0.5 === fired) to.right[bin]!++
}

export function addCalibration(to: Calibration, more: Calibration): void {
  for (let bin = 0; bin < BINS; bin++) {
    to.turns[bin]! += more.turns[bin]!
    to.right[bin]! += more.right[bin]!
    to.claimed[bin]! += more.claimed[bin]!
  }
}

/**
 * Expected calibration error: distance between the share of right labels and their mean probability, averaged over
 * the bins by turns, 0–0.5; NaN without turns.
 *
 * @see Naeini, Cooper & Hauskrecht, "Obtaining Well Calibrated Probabilities Using Bayesian Binning", AAAI 2015
 */
export function calibrationError(calibration: Calibration): number {
  const { turns, right, claimed } = calibration
  const all = turns.reduce((sum, n) => sum + n, 0)
  return turns.reduce((sum, _, bin) => sum + Math.abs(right[bin]! - claimed[bin]!), 0) / all
}
