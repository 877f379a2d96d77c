import { TURN_BANDS } from '../bands/constants.js'
import { borrowKernels, type Kernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
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
  const space = borrowSpace(points)
  const lows = nearMeans(cut, low, space)
  const highs = nearMeans(cut, high, space)
  const compared = compare(cut, lows, highs, space)
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
    const along = compared[3 * n]!
    const apart = compared[3 * n + 1]!
    const means = compared[3 * n + 2]!
    // Scatter within a kind: what the means do not hold of the energy. Chance alone sets the means apart by scatter/a + scatter/b.
    const all = energy[n]! / count[n]!
    const scatter = Math.max(0.02 * all, all - means)
    const real = Math.max(0, apart - scatter * (1 / a + 1 / b))
    const belief = (weight * real) / (apart + 1e-30) / scatter
    numerator[n] = numerator[n]! + belief * along
    denominator[n] = denominator[n]! + belief * apart
  }
}

/** Turns taken at a time. */
const BLOCK = 256

/** Places in the memory of the kernels for {@link BLOCK} turns of one band. */
interface Space {
  readonly kernels: Kernels
  readonly sound: number
  readonly lows: number
  readonly highs: number
  readonly weights: number
  readonly held: number
  readonly compared: number
}

function borrowSpace(points: number): Space {
  const layout = makeLayout()
  const sound = layout.take(BLOCK * points)
  const lows = layout.take(BLOCK * points)
  const highs = layout.take(BLOCK * points)
  const weights = layout.take(4 * BLOCK)
  const held = layout.take(2 * points)
  const compared = layout.take(6 * BLOCK)
  return { kernels: borrowKernels(layout.total()), sound, lows, highs, weights, held, compared }
}

/** Weighted sums of the turns around each, itself left out: the nearer the more. */
interface NearMeans {
  readonly sums: Float32Array
  readonly weight: Float64Array
}

function nearMeans({ points, turns, values }: CutBand, weights: Float64Array, space: Space): NearMeans {
  const { kernels, sound, lows, held } = space
  const { floats, doubles } = kernels
  const sums = new Float32Array(turns * points)
  const pass = (blocks: readonly number[], backwards: 0 | 1): void => {
    doubles.fill(0, held / 2, held / 2 + points)
    for (const first of blocks) {
      const end = Math.min(turns, first + BLOCK)
      floats.set(values.subarray(first * points, end * points), sound)
      floats.set(sums.subarray(first * points, end * points), lows)
      doubles.set(weights.subarray(first, end), space.weights / 2)
      kernels.nearRows(sound, space.weights, KEPT, end - first, points, backwards, held, lows)
      sums.set(floats.subarray(lows, lows + (end - first) * points), first * points)
    }
  }
  const blocks = Array.from({ length: Math.ceil(turns / BLOCK) }, (_, i) => i * BLOCK)
  pass(blocks, 0)
  pass(blocks.reverse(), 1)
  return { sums, weight: nearSum(weights, false) }
}

/** For each turn how far it lies along the difference of the two means, that difference squared, and the means squared. */
function compare({ points, turns, values }: CutBand, low: NearMeans, high: NearMeans, space: Space) {
  const { kernels, sound, lows, highs, weights, compared } = space
  const { floats, doubles } = kernels
  const out = new Float64Array(3 * turns)
  for (let first = 0; first < turns; first += BLOCK) {
    const end = Math.min(turns, first + BLOCK)
    const load = (from: Float32Array, to: number): void =>
      floats.set(from.subarray(first * points, end * points), to)
    load(values, sound)
    load(low.sums, lows)
    load(high.sums, highs)
    for (let n = first; n < end; n++) {
      doubles[weights / 2 + 2 * (n - first)] = low.weight[n]!
      doubles[weights / 2 + 2 * (n - first) + 1] = high.weight[n]!
    }
    kernels.compareRows(sound, lows, highs, weights, end - first, points, compared)
    out.set(doubles.subarray(compared / 2, compared / 2 + 3 * (end - first)), 3 * first)
  }
  return out
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

/** Sum around each turn, itself included or not, the nearer the more. */
function nearSum(x: Float64Array, withOwn = true): Float64Array {
  const out = withOwn ? x.slice() : new Float64Array(x.length)
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
