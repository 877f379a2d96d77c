import { TURN_BANDS } from '../bands/constants.js'
import type { CutBand } from '../turns/cut.js'

/** Turns on either side from which the pictures of both kinds are taken. */
const REACH_TURNS = 32
/** Effective turns of the rarer kind for which the pictures are fully believed. */
const FULL_BELIEF = 4

/** How each turn compares with pictures of both kinds taken from its neighbours. */
export interface TemplateScores {
  /** About −½ for the low kind and +½ for the high kind. */
  readonly values: Float64Array
  /** 0–1: whether there are enough turns of both kinds near to judge by. */
  readonly validity: Float64Array
  /** Distance of the two kinds' mean values near each turn, in standard deviations within a kind; 0 for chance. */
  readonly separation: Float64Array
}

/**
 * Compares every turn with the mean of its neighbours of either kind, itself left out.
 *
 * Per band the turn is projected on the difference of the two means; bands weigh by how well they part the kinds
 * against the scatter within a kind. Unlike the leading component of a window it also finds a lone turn of the
 * other kind in otherwise even running.
 *
 * @param highKind chance that a turn is of the high kind
 * @param twoKinds chance that there are two kinds where the turn is
 */
export function templateScores(
  cuts: readonly CutBand[],
  highKind: Float64Array,
  twoKinds: Float64Array,
): TemplateScores {
  const turns = highKind.length
  const high = highKind.map((p, n) => p * p * twoKinds[n]!)
  const low = highKind.map((p, n) => (1 - p) * (1 - p) * twoKinds[n]!)
  const numerator = new Float64Array(turns)
  const denominator = new Float64Array(turns)
  cuts.forEach((cut, b) => {
    addBand(cut, low, high, TURN_BANDS[b]!.weight, numerator, denominator)
  })
  const weights = { low: slidingSum(low), high: slidingSum(high) }
  const values = numerator.map((v, n) => (denominator[n]! > 0 ? v / denominator[n]! : 0))
  return {
    values,
    separation: separations(values, low, high),
    validity: Float64Array.from({ length: turns }, (_, n) =>
      Math.min(
        1,
        Math.max(0, Math.min(weights.low[n]! - low[n]!, weights.high[n]! - high[n]!)) / FULL_BELIEF,
      ),
    ),
  }
}

function addBand(
  cut: CutBand,
  low: Float64Array,
  high: Float64Array,
  weight: number,
  numerator: Float64Array,
  denominator: Float64Array,
): void {
  const { points, turns, values } = cut
  const sums = [new Float64Array(points), new Float64Array(points)] as const
  const totals = Float64Array.of(1e-9, 1e-9)
  let energy = 1e-30
  let count = 0
  /** Takes a turn in (sign 1) or out (−1) and returns its energy. */
  const slide = (m: number, sign: number): number => {
    const [lowSum, highSum] = sums
    const lowWeight = sign * low[m]!
    const highWeight = sign * high[m]!
    totals[0] = totals[0]! + lowWeight
    totals[1] = totals[1]! + highWeight
    let square = 0
    for (let p = 0, k = m * points; p < points; p++, k++) {
      const x = values[k]!
      lowSum[p] = lowSum[p]! + lowWeight * x
      highSum[p] = highSum[p]! + highWeight * x
      square += x * x
    }
    return sign * square
  }
  for (; count < Math.min(REACH_TURNS, turns); count++) energy += slide(count, 1)
  for (let n = 0; n < turns; n++) {
    if (n + REACH_TURNS < turns) {
      energy += slide(n + REACH_TURNS, 1)
      count++
    }
    if (n - REACH_TURNS - 1 >= 0) {
      energy += slide(n - REACH_TURNS - 1, -1)
      count--
    }
    const a = Math.max(1e-6, totals[0]! - low[n]!)
    const b = Math.max(1e-6, totals[1]! - high[n]!)
    if (a < 1 || b < 1) continue
    let along = 0
    let apart = 0
    let means = 0
    for (let p = 0; p < points; p++) {
      const x = values[n * points + p]!
      const lowMean = (sums[0][p]! - low[n]! * x) / a
      const highMean = (sums[1][p]! - high[n]! * x) / b
      const d = highMean - lowMean
      along += (x - 0.5 * (lowMean + highMean)) * d
      apart += d * d
      means += 0.5 * (lowMean * lowMean + highMean * highMean)
    }
    // Scatter within a kind: what the means do not hold of the energy. Chance alone sets the means apart by scatter/a + scatter/b.
    const scatter = Math.max(0.02 * (energy / count), energy / count - means)
    const real = Math.max(0, apart - scatter * (1 / a + 1 / b))
    const belief = (weight * real) / (apart + 1e-30) / scatter
    numerator[n] = numerator[n]! + belief * along
    denominator[n] = denominator[n]! + belief * apart
  }
}

/** Every turn was compared with pictures that it is no part of, so groups drawn by chance come out alike. */
function separations(values: Float64Array, low: Float64Array, high: Float64Array): Float64Array {
  const moments = [low, high].map((w) => ({
    weight: slidingSum(w),
    sum: slidingSum(w.map((v, n) => v * values[n]!)),
    square: slidingSum(w.map((v, n) => v * values[n]! ** 2)),
  }))
  return values.map((_, n) => {
    const [a, b] = moments.map(({ weight, sum, square }) => {
      const w = Math.max(1e-9, weight[n]!)
      return { weight: w, mean: sum[n]! / w, scatter: square[n]! - sum[n]! ** 2 / w }
    })
    const within = Math.sqrt(Math.max(1e-12, (a!.scatter + b!.scatter) / (a!.weight + b!.weight)))
    return (b!.mean - a!.mean) / within
  })
}

function slidingSum(x: Float64Array): Float64Array {
  const out = new Float64Array(x.length)
  let sum = 0
  for (let m = 0; m < Math.min(REACH_TURNS, x.length); m++) sum += x[m]!
  for (let n = 0; n < x.length; n++) {
    if (n + REACH_TURNS < x.length) sum += x[n + REACH_TURNS]!
    if (n - REACH_TURNS - 1 >= 0) sum -= x[n - REACH_TURNS - 1]!
    out[n] = sum
  }
  return out
}
