import { TURN_BANDS } from '../bands/constants.js'
import type { CutBand } from '../turns/cut.js'

/** Share of its weight that a turn keeps in the pictures from one turn to the next: nearer turns count more. */
const KEPT = Math.exp(-1 / 16)
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
  const weights = { low: nearSum(low), high: nearSum(high) }
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
  const lows = nearMeans(cut, low)
  const highs = nearMeans(cut, high)
  const squares = Float64Array.from({ length: turns }, (_, n) => {
    let sum = 0
    for (let k = n * points; k < (n + 1) * points; k++) sum += values[k]! ** 2
    return sum
  })
  const energy = nearSum(squares)
  const count = nearSum(new Float64Array(turns).fill(1))
  for (let n = 0; n < turns; n++) {
    const a = lows.weight[n]!
    const b = highs.weight[n]!
    if (a < 1 || b < 1) continue
    let along = 0
    let apart = 0
    let means = 0
    for (let k = n * points; k < (n + 1) * points; k++) {
      const lowMean = lows.sums[k]! / a
      const highMean = highs.sums[k]! / b
      const d = highMean - lowMean
      along += (values[k]! - 0.5 * (lowMean + highMean)) * d
      apart += d * d
      means += 0.5 * (lowMean * lowMean + highMean * highMean)
    }
    // Scatter within a kind: what the means do not hold of the energy. Chance alone sets the means apart by scatter/a + scatter/b.
    const all = energy[n]! / count[n]!
    const scatter = Math.max(0.02 * all, all - means)
    const real = Math.max(0, apart - scatter * (1 / a + 1 / b))
    const belief = (weight * real) / (apart + 1e-30) / scatter
    numerator[n] = numerator[n]! + belief * along
    denominator[n] = denominator[n]! + belief * apart
  }
}

/** Weighted sums of the turns around each, itself left out: the nearer the more. */
function nearMeans({ points, turns, values }: CutBand, weights: Float64Array) {
  const sums = new Float32Array(turns * points)
  const total = new Float64Array(turns)
  const held = new Float64Array(points)
  const pass = (from: number, step: number): void => {
    held.fill(0)
    let weight = 0
    for (let n = from; n >= 0 && n < turns; n += step) {
      total[n] = total[n]! + weight
      const w = weights[n]!
      weight = KEPT * (weight + w)
      for (let p = 0, k = n * points; p < points; p++, k++) {
        sums[k] = sums[k]! + held[p]!
        held[p] = KEPT * (held[p]! + w * values[k]!)
      }
    }
  }
  pass(0, 1)
  pass(turns - 1, -1)
  return { sums, weight: total }
}

/** Every turn was compared with pictures that it is no part of, so groups drawn by chance come out alike. */
function separations(values: Float64Array, low: Float64Array, high: Float64Array): Float64Array {
  const moments = [low, high].map((w) => ({
    weight: nearSum(w),
    sum: nearSum(w.map((v, n) => v * values[n]!)),
    square: nearSum(w.map((v, n) => v * values[n]! ** 2)),
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

/** Sum around each turn, itself included, the nearer the more. */
function nearSum(x: Float64Array): Float64Array {
  const out = x.slice()
  const pass = (from: number, step: number): void => {
    let held = 0
    for (let n = from; n >= 0 && n < x.length; n += step) {
      out[n] = out[n]! + held
      held = KEPT * (held + x[n]!)
    }
  }
  pass(0, 1)
  pass(x.length - 1, -1)
  return out
}
