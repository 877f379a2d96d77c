import type { KernelFunctions } from './types.js'

type TurnKernels = Pick<
  KernelFunctions,
  | 'pathStep'
  | 'pathJumps'
  | 'nearRows'
  | 'compareRows'
  | 'powerSteps'
  | 'orderDrift'
  | 'addRows'
  | 'packWindow'
>

/** The kernels of the speed curve and of turns in plain JavaScript, over one memory seen three ways. */
export function plainTurns(f: Float32Array, ints: Int32Array, doubles: Float64Array): TurnKernels {
  return {
    pathStep(score, driftBefore, drift, count, reach, cost, out, origins) {
      for (let b = 0; b < count; b++) {
        let best = -Infinity
        let origin = b
        for (let a = b - reach; a <= b + reach; a++) {
          const bend = b - a - (doubles[drift / 2 + b]! + doubles[driftBefore / 2 + a]!)
          const value = doubles[score / 2 + a]! - cost * bend * bend
          if (value > best) {
            best = value
            origin = a
          }
        }
        doubles[out / 2 + b] = best
        ints[origins + b] = origin
      }
    },
    pathJumps(score, jumps, jumpCount, cost, count, out, origins) {
      for (let b = 0; b < count; b++) {
        for (let j = 0; j < jumpCount; j++) {
          const a = b - ints[jumps + j]!
          const value = doubles[score / 2 + a]! - cost
          if (value > doubles[out / 2 + b]!) {
            doubles[out / 2 + b] = value
            ints[origins + b] = a
          }
        }
      }
    },
    nearRows(values, weights, kept, rows, points, backwards, held, sums) {
      for (let i = 0; i < rows; i++) {
        const n = backwards ? rows - 1 - i : i
        const weight = doubles[weights / 2 + n]!
        for (let p = 0, at = n * points; p < points; p++, at++) {
          const before = doubles[held / 2 + p]!
          f[sums + at] = f[sums + at]! + before
          doubles[held / 2 + p] = kept * (before + weight * f[values + at]!)
        }
      }
    },
    compareRows(values, lows, highs, weights, rows, points, out) {
      for (let n = 0; n < rows; n++) {
        let along = 0
        let apart = 0
        let means = 0
        for (let at = n * points; at < (n + 1) * points; at++) {
          const low = f[lows + at]! / doubles[weights / 2 + 2 * n]!
          const high = f[highs + at]! / doubles[weights / 2 + 2 * n + 1]!
          const d = high - low
          along += (f[values + at]! - 0.5 * (low + high)) * d
          apart += d * d
          means += 0.5 * (low * low + high * high)
        }
        doubles.set([along, apart, means], out / 2 + 3 * n)
      }
    },
    powerSteps(matrix, size, vector, spare, most, settled, least) {
      const x = doubles.subarray(vector / 2, vector / 2 + size)
      const next = doubles.subarray(spare / 2, spare / 2 + size)
      let value = 0
      normalise(x)
      for (let k = 0; k < most; k++) {
        for (let i = 0; i < size; i++) {
          let sum = 0
          for (let j = 0; j < size; j++) sum += doubles[matrix / 2 + j * size + i]! * x[j]!
          next[i] = sum
        }
        value = normalise(next)
        if (value < least) break
        let moved = 0
        for (let i = 0; i < size; i++) moved = Math.max(moved, Math.abs(next[i]! - x[i]!))
        x.set(next)
        if (moved < settled) break
      }
      return value
    },
    orderDrift(orders, turns, power, numerator, denominator) {
      for (let n = 1; n < turns; n++) {
        let up = 0
        let down = 0
        for (let k = 1; k <= 8; k++) {
          const at = orders + 16 * n + k - 1
          const [re, im] = [f[at]!, f[at + 8]!]
          const [reBefore, imBefore] = [f[at - 16]!, f[at - 8]!]
          const dot = re * reBefore + im * imBefore
          const cross = im * reBefore - re * imBefore
          const size = Math.sqrt(dot * dot + cross * cross)
          up += size * k * Math.atan2(cross, dot)
          down += size * k * k
        }
        doubles[numerator / 2 + n] = doubles[numerator / 2 + n]! + up / power
        doubles[denominator / 2 + n] = doubles[denominator / 2 + n]! + down / power
      }
    },
    addRows(values, weights, rows, points, out) {
      for (let p = 0; p < points; p++) {
        let sum = 0
        for (let n = 0; n < rows; n++) sum += doubles[weights / 2 + n]! * f[values + n * points + p]!
        doubles[out / 2 + p] = sum
      }
    },
    packWindow(gram, step, size, least, out) {
      let trace = least
      for (let i = 0; i < size; i++) trace += f[gram + i * step]!
      let to = out
      for (let lag = 0; lag < size; lag++)
        for (let i = 0; i + lag < size; i++) f[to++] = f[gram + i * step + lag]! / trace
      f.fill(0, to, to + 8)
    },
  }
}

function normalise(x: Float64Array): number {
  let energy = 0
  for (let i = 0; i < x.length; i++) energy += x[i]! * x[i]!
  const length = Math.sqrt(energy)
  if (length > 0) for (let i = 0; i < x.length; i++) x[i] = x[i]! / length
  return length
}
