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
  readonly share: number
  readonly logLikelihood: number
}

/**
 * Splits points into the two Gaussian clusters with one covariance that make them likeliest.
 *
 * @param vectors `directions` columns of length `size`, orthogonal, unit length, mean about 0
 * @see Dempster, Laird & Rubin, "Maximum likelihood from incomplete data via the EM algorithm" (1977)
 */
export function twoClusters(vectors: readonly Float64Array[], size: number, directions: number): Clusters {
  const points = new Float64Array(size * directions)
  for (let i = 0; i < size; i++)
    for (let d = 0; d < directions; d++) points[i * directions + d] = vectors[d]![i]! * Math.sqrt(size)
  let best: Mixture | null = null
  for (let d = 0; d < directions; d++) {
    const sorted = vectors[d]!.slice().sort()
    for (const share of STARTS) {
      const edge = sorted[Math.floor(share * size)]!
      const start = vectors[d]!.map((v) => (v > edge ? 0.9 : 0.1))
      const found = maximise(points, directions, start, FIRST_ROUNDS)
      if (found && (!best || found.logLikelihood > best.logLikelihood)) best = found
    }
  }
  const last = best && maximise(points, directions, best.chance, LAST_ROUNDS)
  return last ?? { values: new Float64Array(size), separation: 0 }
}

function maximise(
  points: Float64Array,
  directions: number,
  start: Float64Array,
  rounds: number,
): Mixture | null {
  const size = start.length
  const chance = start.slice()
  let mixture: Mixture | null = null
  for (let round = 0; round < rounds; round++) {
    const { mean, share } = clusterMeans(points, directions, chance)
    if (share < LEAST_SHARE || share > 1 - LEAST_SHARE) return null
    const { inverse, logDeterminant } = invert(covariance(points, directions, chance, mean), directions)
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
    if (squared < 1e-9) return null
    const prior = Math.log(share / (1 - share))
    const values = new Float64Array(size)
    let logLikelihood = -0.5 * size * logDeterminant
    let moved = 0
    for (let i = 0; i < size; i++) {
      let place = -middle
      for (let d = 0; d < directions; d++) place += along[d]! * points[i * directions + d]!
      const logOdds = place + prior
      const p = 1 / (1 + Math.exp(-logOdds))
      moved = Math.max(moved, Math.abs(p - chance[i]!))
      chance[i] = p
      values[i] = (2 * place) / squared
      logLikelihood += Math.log(1 - share) + softplus(logOdds)
      // Distance from the first mean, up to what all turns share.
      logLikelihood -= 0.5 * distance(points, i, directions, mean[0]!, inverse)
    }
    mixture = { chance: chance.slice(), values, separation: Math.sqrt(squared), share, logLikelihood }
    if (moved < 1e-3) break
  }
  return mixture
}

const softplus = (x: number): number => (x > 30 ? x : Math.log1p(Math.exp(x)))

function clusterMeans(points: Float64Array, directions: number, chance: Float64Array) {
  const mean = [new Float64Array(directions), new Float64Array(directions)]
  let weight = 0
  for (let i = 0; i < chance.length; i++) {
    const p = chance[i]!
    weight += p
    for (let d = 0; d < directions; d++) {
      const x = points[i * directions + d]!
      mean[0]![d] = mean[0]![d]! + (1 - p) * x
      mean[1]![d] = mean[1]![d]! + p * x
    }
  }
  for (let d = 0; d < directions; d++) {
    mean[0]![d] = mean[0]![d]! / Math.max(1e-9, chance.length - weight)
    mean[1]![d] = mean[1]![d]! / Math.max(1e-9, weight)
  }
  return { mean, share: weight / chance.length }
}

/** Covariance within the clusters: of all points, which is the identity, less what the means hold. */
function covariance(
  points: Float64Array,
  directions: number,
  chance: Float64Array,
  mean: readonly Float64Array[],
): Float64Array {
  const size = chance.length
  const out = new Float64Array(directions * directions)
  let weight = 0
  for (let i = 0; i < size; i++) {
    weight += chance[i]!
    for (let d = 0; d < directions; d++)
      for (let e = 0; e <= d; e++)
        out[d * directions + e] =
          out[d * directions + e]! + points[i * directions + d]! * points[i * directions + e]!
  }
  for (let d = 0; d < directions; d++)
    for (let e = 0; e <= d; e++) {
      const means = (size - weight) * mean[0]![d]! * mean[0]![e]! + weight * mean[1]![d]! * mean[1]![e]!
      const value = (out[d * directions + e]! - means) / size + (d === e ? RIDGE : 0)
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
