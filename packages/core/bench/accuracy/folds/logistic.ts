/** A case to learn from: features of a common length, which of two it is, and how much it counts (> 0). */
export interface Case {
  readonly features: readonly number[]
  readonly is: boolean
  readonly weight: number
}

/** Log-odds are `bias` and the sum of features, each by its weight. */
export interface Logistic {
  readonly bias: number
  readonly weights: readonly number[]
}

/** Rounds after which a fit that still moves has failed, and the step (in scaled units) below which it stands. */
const MOST_ROUNDS = 60
const STANDING = 1e-8

/**
 * Logistic regression with a ridge, by iteratively reweighted least squares.
 *
 * Minimises the mean log loss (cases by weight) plus ridge/2 · Σ w², weights being those of features scaled to mean 0 and
 * standard deviation 1; the bias is free. A feature that never changes gets no weight.
 *
 * @param cases at least one of each kind, equally many features each
 * @param ridge > 0: keeps kinds that can be told apart without error from growing weights without end
 * @throws {Error} when it does not settle
 * @remarks O(rounds · cases · features²).
 * @see Hastie, Tibshirani & Friedman, *The Elements of Statistical Learning* (2nd ed. 2009), 4.4.1 and 18.4
 * @example fitLogistic([{ features: [0], is: false, weight: 1 }, { features: [1], is: true, weight: 1 }], 0.1).bias < 0 // true
 */
export function fitLogistic(cases: readonly Case[], ridge: number): Logistic {
  const total = cases.reduce((sum, { weight }) => sum + weight, 0)
  const shares = cases.map(({ weight }) => weight / total)
  const scales = scalesOf(cases, shares)
  const rows = cases.map(({ features }) => [
    1,
    ...scales.map(({ mean, sd }, j) => (features[j]! - mean) / sd),
  ])
  const penalties = [0, ...scales.map(() => ridge)]
  const loss = (at: readonly number[]): number =>
    rows.reduce((sum, row, i) => sum + shares[i]! * softplus((cases[i]!.is ? -1 : 1) * dot(row, at)), 0) +
    at.reduce((sum, w, j) => sum + (penalties[j]! / 2) * w * w, 0)
  let at = penalties.map(() => 0)
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const step = newtonStep(rows, cases, shares, penalties, at)
    if (Math.max(...step.map(Math.abs)) < STANDING) return unscaled(at, scales)
    const moved = (by: number): number[] => at.map((w, j) => w + by * step[j]!)
    let by = 1
    while (loss(moved(by)) > loss(at) && by > 1e-6) by /= 2
    at = moved(by)
  }
  throw new Error(`a logistic fit of ${cases.length} cases did not settle`)
}

interface Scale {
  readonly mean: number
  readonly sd: number
}

function scalesOf(cases: readonly Case[], shares: readonly number[]): Scale[] {
  return cases[0]!.features.map((_, j) => {
    const mean = cases.reduce((sum, { features }, i) => sum + shares[i]! * features[j]!, 0)
    const variance = cases.reduce((sum, { features }, i) => sum + shares[i]! * (features[j]! - mean) ** 2, 0)
    return { mean, sd: Math.sqrt(variance) || 1 }
  })
}

/** Inverse Hessian times the falling gradient. */
function newtonStep(
  rows: readonly (readonly number[])[],
  cases: readonly Case[],
  shares: readonly number[],
  penalties: readonly number[],
  at: readonly number[],
): number[] {
  const hessian = penalties.map((p, j) => penalties.map((_, k) => (j === k ? p + 1e-12 : 0)))
  const falling = penalties.map((p, j) => -p * at[j]!)
  rows.forEach((row, i) => {
    const chance = 1 / (1 + Math.exp(-dot(row, at)))
    const share = shares[i]!
    const curve = share * chance * (1 - chance)
    const pull = share * ((cases[i]!.is ? 1 : 0) - chance)
    row.forEach((x, j) => {
      falling[j] = falling[j]! + pull * x
      for (let k = 0; k <= j; k++) hessian[j]![k] = hessian[j]![k]! + curve * x * row[k]!
    })
  })
  return solve(hessian, falling)
}

/** Solves a symmetric positive definite system of which the lower half is given, by Cholesky's factors, in place. */
function solve(lower: number[][], right: readonly number[]): number[] {
  const n = right.length
  const out = [...right]
  for (let j = 0; j < n; j++) {
    for (let k = 0; k <= j; k++) {
      let sum = lower[j]![k]!
      for (let m = 0; m < k; m++) sum -= lower[j]![m]! * lower[k]![m]!
      lower[j]![k] = j === k ? Math.sqrt(sum) : sum / lower[k]![k]!
    }
    for (let m = 0; m < j; m++) out[j] = out[j]! - lower[j]![m]! * out[m]!
    out[j] = out[j]! / lower[j]![j]!
  }
  for (let j = n - 1; j >= 0; j--) {
    for (let m = j + 1; m < n; m++) out[j] = out[j]! - lower[m]![j]! * out[m]!
    out[j] = out[j]! / lower[j]![j]!
  }
  return out
}

function unscaled([bias = 0, ...scaled]: readonly number[], scales: readonly Scale[]): Logistic {
  const weights = scaled.map((w, j) => w / scales[j]!.sd)
  return { bias: weights.reduce((sum, w, j) => sum - w * scales[j]!.mean, bias), weights }
}

const dot = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, x, i) => sum + x * b[i]!, 0)
const softplus = (x: number): number => Math.max(0, x) + Math.log1p(Math.exp(-Math.abs(x)))
