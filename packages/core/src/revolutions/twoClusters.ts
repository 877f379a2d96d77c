import { borrowKernels, type Kernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'

/** Rounds of expectation and maximisation from every start, and of the best one. */
const FIRST_ROUNDS = 12
const LAST_ROUNDS = 60
/** Least share of a cluster: fewer turns are odd ones, not a kind. */
const LEAST_SHARE = 0.06
/** Added to the diagonal of the covariance, variance 1 all over: keeps a cluster from closing on few turns. */
const RIDGE = 1e-3
/** Shares of the turns by which each direction is split to start from. */
const STARTS = [0.25, 0.5, 0.75]

/** Two groups of turns. */
export interface Clusters {
  /** Place of each turn on the line between the clusters: −1 at one, +1 at the other. */
  readonly values: Float64Array
  /** Distance of the clusters, standard deviations within one; 0 when there are none. */
  readonly separation: number
}

interface Mixture {
  /** Chance of the second cluster. */
  readonly chance: Float64Array
  readonly values: Float64Array
  readonly separation: number
  readonly logLikelihood: number
}

/**
 * Splits points into the two Gaussian clusters with one covariance that make them likeliest.
 *
 * @param vectors a column a direction, even in number and of one length; orthogonal, unit length, mean about 0
 * @see Dempster, Laird & Rubin, "Maximum likelihood from incomplete data via the EM algorithm" (1977)
 */
export function twoClusters(vectors: readonly Float64Array[]): Clusters {
  const cloud = borrowCloud(vectors)
  const { size } = cloud
  let best: Mixture | null = null
  for (const vector of vectors) {
    const sorted = vector.slice().sort()
    for (const share of STARTS) {
      const edge = sorted[Math.floor(share * size)]!
      const start = vector.map((v) => (v > edge ? 0.9 : 0.1))
      const found = maximise(cloud, start, FIRST_ROUNDS)
      if (found && (!best || found.logLikelihood > best.logLikelihood)) best = found
    }
  }
  const last = best && maximise(cloud, best.chance, LAST_ROUNDS)
  return last ?? { values: new Float64Array(size), separation: 0 }
}

/** Points, rows of `directions` in the memory of the kernels, and the sum of their outer products. */
interface Cloud {
  readonly kernels: Kernels
  readonly size: number
  readonly directions: number
  readonly pointsAt: number
  readonly points: Float64Array
  readonly products: Float64Array
  /** Chance of the second cluster at each point. */
  readonly chanceAt: number
  readonly chance: Float64Array
  readonly alongAt: number
  /** Sums over the first and over the second cluster. */
  readonly sumsAt: readonly [number, number]
}

function borrowCloud(vectors: readonly Float64Array[]): Cloud {
  const directions = vectors.length
  const size = vectors[0]!.length
  const layout = makeLayout()
  const pointsAt = layout.take(2 * size * directions)
  const chanceAt = layout.take(2 * size)
  const alongAt = layout.take(2 * directions)
  const sumsAt = [layout.take(2 * directions), layout.take(2 * directions)] as const
  const kernels = borrowKernels(layout.total())
  const doubles = (at: number, length: number): Float64Array =>
    kernels.doubles.subarray(at / 2, at / 2 + length)
  const points = doubles(pointsAt, size * directions)
  for (let i = 0; i < size; i++)
    for (let d = 0; d < directions; d++) points[i * directions + d] = vectors[d]![i]! * Math.sqrt(size)
  const products = new Float64Array(directions * directions)
  for (let at = 0; at < points.length; at += directions)
    for (let d = 0; d < directions; d++)
      for (let e = 0; e <= d; e++)
        products[d * directions + e] = products[d * directions + e]! + points[at + d]! * points[at + e]!
  const chance = doubles(chanceAt, size)
  return { kernels, size, directions, pointsAt, points, products, chanceAt, chance, alongAt, sumsAt }
}

/** The line between two clusters: a point's place on it is along · point − middle, from −squared/2 to +squared/2. */
interface Line {
  readonly along: Float64Array
  readonly middle: number
  /** Squared distance of the clusters, standard deviations within one. */
  readonly squared: number
  readonly mean: Float64Array
  readonly inverse: Float64Array
  readonly logDeterminant: number
  /** Share of the second cluster. */
  readonly share: number
}

function maximise(cloud: Cloud, start: Float64Array, rounds: number): Mixture | null {
  cloud.chance.set(start)
  for (let round = 1; ; round++) {
    const line = lineBetween(cloud)
    if (!line) return null
    const moved = takeChances(cloud, line)
    if (moved < 1e-3 || round === rounds) return mixtureOf(cloud, line)
  }
}

/** Maximisation: the line for the chances of the second cluster; null where one of the clusters is nearly empty. */
function lineBetween(cloud: Cloud): Line | null {
  const { directions, size } = cloud
  const { mean, weight } = clusterMeans(cloud)
  const share = weight / size
  if (share < LEAST_SHARE || share > 1 - LEAST_SHARE) return null
  const { inverse, logDeterminant } = invert(covariance(cloud, mean, weight), directions)
  const difference = mean[1]!.map((v, d) => v - mean[0]![d]!)
  const along = difference.map((_, d) => {
    let sum = 0
    for (let e = 0; e < directions; e++) sum += inverse[d * directions + e]! * difference[e]!
    return sum
  })
  let squared = 0
  let middle = 0
  for (let d = 0; d < directions; d++) {
    squared += along[d]! * difference[d]!
    middle += 0.5 * along[d]! * (mean[0]![d]! + mean[1]![d]!)
  }
  return squared < 1e-9 ? null : { along, middle, squared, mean: mean[0]!, inverse, logDeterminant, share }
}

/** Log-odds of the second cluster at a point, up to those of its share. */
function placeOf({ points, directions }: Cloud, { along, middle }: Line, i: number): number {
  let place = -middle
  for (let d = 0, at = i * directions; d < directions; d++, at++) place += along[d]! * points[at]!
  return place
}

/** Expectation: takes the chances that a line gives; returns the largest change. */
function takeChances(cloud: Cloud, { along, middle, share }: Line): number {
  const { kernels, size, directions, pointsAt, chanceAt, alongAt } = cloud
  kernels.doubles.set(along, alongAt / 2)
  const prior = Math.log(share / (1 - share))
  return kernels.clusterChances(pointsAt, size, directions, alongAt, middle, prior, chanceAt)
}

function mixtureOf(cloud: Cloud, line: Line): Mixture {
  const { size, directions, points, chance } = cloud
  const { squared, share, mean, inverse, logDeterminant } = line
  const prior = Math.log(share / (1 - share))
  const values = new Float64Array(size)
  let logLikelihood = -0.5 * size * logDeterminant
  for (let i = 0; i < size; i++) {
    const place = placeOf(cloud, line, i)
    values[i] = (2 * place) / squared
    logLikelihood += Math.log(1 - share) + softplus(place + prior)
    // Distance from the first mean, up to what all turns share.
    logLikelihood -= 0.5 * distance(points, i, directions, mean, inverse)
  }
  return { chance: chance.slice(), values, separation: Math.sqrt(squared), logLikelihood }
}

const softplus = (x: number): number => (x > 30 ? x : Math.log1p(Math.exp(x)))

function clusterMeans({ kernels, size, directions, pointsAt, chanceAt, chance, sumsAt }: Cloud) {
  const weight = chance.reduce((sum, p) => sum + p, 0)
  kernels.clusterSums(pointsAt, size, directions, chanceAt, ...sumsAt)
  const meanOf = (cluster: 0 | 1, weight: number): Float64Array =>
    kernels.doubles
      .slice(sumsAt[cluster] / 2, sumsAt[cluster] / 2 + directions)
      .map((sum) => sum / Math.max(1e-9, weight))
  return { mean: [meanOf(0, size - weight), meanOf(1, weight)] as const, weight }
}

/** Covariance within the clusters: of all points, which is the identity, less what the means hold. */
function covariance(
  { size, directions, products }: Cloud,
  mean: readonly Float64Array[],
  weight: number,
): Float64Array {
  const out = new Float64Array(directions * directions)
  for (let d = 0; d < directions; d++)
    for (let e = 0; e <= d; e++) {
      const means = (size - weight) * mean[0]![d]! * mean[0]![e]! + weight * mean[1]![d]! * mean[1]![e]!
      const value = (products[d * directions + e]! - means) / size + (d === e ? RIDGE : 0)
      out[d * directions + e] = value
      out[e * directions + d] = value
    }
  return out
}

/** Inverse and logarithm of the determinant of a symmetric positive definite matrix, by Gauss and Jordan. */
function invert(matrix: Float64Array, n: number): { inverse: Float64Array; logDeterminant: number } {
  const a = matrix.slice()
  const inverse = Float64Array.from({ length: n * n }, (_, k) => (k % (n + 1) === 0 ? 1 : 0))
  let logDeterminant = 0
  for (let pivot = 0; pivot < n; pivot++) {
    const value = a[pivot * n + pivot]!
    logDeterminant += Math.log(value)
    for (let c = 0; c < n; c++) {
      a[pivot * n + c] = a[pivot * n + c]! / value
      inverse[pivot * n + c] = inverse[pivot * n + c]! / value
    }
    for (let r = 0; r < n; r++) {
      if (r === pivot) continue
      const factor = a[r * n + pivot]!
      for (let c = 0; c < n; c++) {
        a[r * n + c] = a[r * n + c]! - factor * a[pivot * n + c]!
        inverse[r * n + c] = inverse[r * n + c]! - factor * inverse[pivot * n + c]!
      }
    }
  }
  return { inverse, logDeterminant }
}

/** Squared distance of a point from a mean, in standard deviations. */
function distance(
  points: Float64Array,
  i: number,
  directions: number,
  mean: Float64Array,
  inverse: Float64Array,
): number {
  let sum = 0
  for (let d = 0; d < directions; d++) {
    const x = points[i * directions + d]! - mean[d]!
    for (let e = 0; e < directions; e++)
      sum += x * inverse[d * directions + e]! * (points[i * directions + e]! - mean[e]!)
  }
  return sum
}
