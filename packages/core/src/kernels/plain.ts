import { plainChains } from './plainChains.js'
import { plainTurns } from './plainTurns.js'
import type { Kernels } from './types.js'

/**
 * The kernels in plain JavaScript, for machines without SIMD in WebAssembly and as the other side of the tests.
 *
 * @param words size of the memory
 */
export function plainKernels(words: number): Kernels {
  const doubles = new Float64Array(Math.ceil(words / 2))
  const f = new Float32Array(doubles.buffer)
  const ints = new Int32Array(doubles.buffer)
  return {
    floats: f,
    ints,
    doubles,
    lagProducts(x, xStep, size, first, count, out, outStep, repeats) {
      for (let r = 0; r < repeats; r++) {
        for (let k = 0; k < count; k++) {
          const left = x + r * xStep - ((first + k) >> 1)
          f[out + r * outStep + k] = dot(f, left, left + first + k, size)
        }
      }
    },
    gatherFours(values, valuesStep, indices, weights, count, out, outStep, repeats) {
      for (let r = 0; r < repeats; r++) {
        const from = values + r * valuesStep
        for (let k = 0; k < count; k++)
          f[out + r * outStep + k] = dot(f, from + ints[indices + k]!, weights + 4 * k, 4)
      }
    },
    weightedRows(rows, weights, count, width, scales, repeats, rowStep, out, outStep) {
      const sums = new Float64Array(width)
      for (let r = 0; r < repeats; r++) {
        sums.fill(0)
        for (let k = 0; k < count; k++) {
          const row = ints[rows + k]! + r * rowStep
          const weight = f[weights + k]!
          for (let b = 0; b < width; b++) sums[b] = sums[b]! + weight * f[row + b]!
        }
        for (let b = 0; b < width; b++) f[out + r * outStep + b] = f[scales + r]! * sums[b]!
      }
    },
    weightedBlocks(rows, weights, count, starts, blocks, scales, repeats, rowStep, out, outStep) {
      for (let r = 0; r < repeats; r++) {
        for (let c = 0; c < 8 * blocks; c++) {
          const column = r * rowStep + ints[starts + (c >> 3)]! + (c & 7)
          let sum = 0
          for (let k = 0; k < count; k++) sum += f[weights + k]! * f[ints[rows + k]! + column]!
          f[out + r * outStep + c] = f[scales + r]! * sum
        }
      }
    },
    energyScales(rows, weights, count, width, least, out) {
      for (let c = 0; c < width; c++) {
        let sum = least
        for (let k = 0; k < count; k++) sum += f[weights + k]! * doubles[ints[rows + k]! / 2 + c]!
        f[out + c] = 1 / sum
      }
    },
    meanOfLargest(values, step, rows, width, largest, out) {
      const sorted = new Float64Array(rows)
      for (let b = 0; b < width; b++) {
        for (let r = 0; r < rows; r++) sorted[r] = f[values + r * step + b]!
        sorted.sort()
        let sum = 0
        for (let r = rows - largest; r < rows; r++) sum += sorted[r]!
        f[out + b] = sum / largest
      }
    },
    surveyChunks(x, chunk, chunks, out) {
      for (let n = 0; n < chunks; n++) {
        let low = Infinity
        let high = -Infinity
        let squares = 0
        for (let i = x + n * chunk; i < x + (n + 1) * chunk; i++) {
          const v = f[i]!
          if (v < low) low = v
          if (v > high) high = v
          squares += v * v
        }
        f[out + 4 * n] = low
        f[out + 4 * n + 1] = high
        doubles[out / 2 + 2 * n + 1] = squares
      }
    },
    addDots(a, b, step, count, width, scale, out) {
      for (let k = 0; k < count; k++) f[out + k] = f[out + k]! + scale * dot(f, a, b + k * step, width)
    },
    dotRows(a, b, step, count, width, out) {
      for (let k = 0; k < count; k++) f[out + k] = dot(f, a, b + k * step, width)
    },
    filterPhases(x, table, taps, phases, step, first, count, out) {
      for (let k = 0; k < count; k++) {
        const position = (first + k) * step
        const whole = Math.floor(position)
        const phase = Math.floor((position - whole) * phases + 0.5)
        const base = phase === phases ? whole + 1 : whole
        f[out + k] = dot(f, x + base, table + (phase % phases) * taps, taps)
      }
    },
    project16(x, rows, points, table, out) {
      const sums = new Float64Array(16)
      for (let n = 0; n < rows; n++) {
        sums.fill(0)
        for (let p = 0; p < points; p++) {
          const v = f[x + n * points + p]!
          for (let m = 0; m < 16; m++) sums[m] = sums[m]! + v * f[table + 16 * p + m]!
        }
        f.set(sums, out + 16 * n)
      }
    },
    fourTransforms: (data, size, turns, turnCount) => transform(f, 4, data, size, turns, turnCount),
    twoTransforms: (data, size, turns, turnCount) =>
      transform(doubles, 2, data / 2, size, turns / 2, turnCount),
    loadBlocks(sound, hop, order, size, data) {
      for (let j = 0; j < size; j++)
        for (let block = 0; block < 4; block++)
          doubles[data / 2 + 4 * ints[order + j]! + block] = f[sound + block * hop + j]!
    },
    splitSpectra(data, size, out, outStep) {
      for (let k = 1; k < size / 2; k++) {
        for (let lane = 0; lane < 2; lane++) {
          const a = data / 2 + 4 * k + lane
          const b = data / 2 + 4 * (size - k) + lane
          const to = (out + lane * outStep) / 2 + 2 * k
          doubles[to] = 0.5 * (doubles[a]! + doubles[b]!)
          doubles[to + 1] = 0.5 * (doubles[b + 2]! - doubles[a + 2]!)
          doubles[to + outStep] = 0.5 * (doubles[a + 2]! + doubles[b + 2]!)
          doubles[to + outStep + 1] = 0.5 * (doubles[a]! - doubles[b]!)
        }
      }
    },
    rootMagnitudes(data, count) {
      for (let k = 0; k < 8 * count; k += 8) {
        for (let at = data + k; at < data + k + 4; at++)
          f[at + 4] = Math.sqrt(Math.sqrt(f[at]! ** 2 + f[at + 4]! ** 2))
      }
    },
    scatterBand(spectrum, first, gains, places, count, data) {
      for (let i = 0; i < count; i++) {
        const gain = doubles[gains / 2 + i]!
        const to = data + ints[places + i]!
        const from = spectrum / 2 + 2 * (first + i)
        f[to] = doubles[from]! * gain
        f[to + 4] = doubles[from + 1]! * gain
      }
    },
    readLane(data, stride, average, step, count, out) {
      for (let i = 0; i < count; i++) {
        let sum = 0
        for (let j = 0; j < average; j++) sum += f[data + i * stride + j * step]!
        f[out + i] = sum / average
      }
    },
    levelRow(x, length, half, squared, sums, out) {
      const at = sums / 2
      doubles[at] = 0
      for (let i = 0; i < length; i++)
        doubles[at + i + 1] = doubles[at + i]! + (squared ? f[x + i]! * f[x + i]! : f[x + i]!)
      const least = 1e-3 * (doubles[at + length]! / Math.max(1, length)) + 1e-12
      for (let i = 0; i < length; i++) {
        const from = Math.max(0, i - half)
        const to = Math.min(length, i + half + 1)
        const mean = (doubles[at + to]! - doubles[at + from]!) / (to - from) + least
        f[out + i] = squared ? f[x + i]! / Math.sqrt(mean) : f[x + i]! / mean - 1
      }
    },
    cutRows(x, origin, rate, starts, rows, points, out) {
      for (let n = 0; n < rows; n++) {
        for (let p = 0; p < points; p++) {
          const position = cubic(doubles, starts / 2 + n, (p + 0.5) / points) * rate - origin
          const whole = Math.floor(position)
          f[out + n * points + p] = cubic(f, x + whole - 1, position - whole)
        }
      }
    },
    ...plainTurns(f, ints, doubles),
    ...plainChains(ints, doubles),
  }
}

function dot(f: Float32Array, a: number, b: number, width: number): number {
  let sum = 0
  for (let p = 0; p < width; p++) sum += f[a + p]! * f[b + p]!
  return sum
}

/** Catmull-Rom interpolation between the second and the third of the four values at `at`. */
function cubic(values: Float32Array | Float64Array, at: number, f: number): number {
  const a = values[at]!
  const b = values[at + 1]!
  const c = values[at + 2]!
  const d = values[at + 3]!
  return b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)))
}

/** Inverse transforms of as many lanes side by side: real parts, then imaginary parts of a point. */
function transform(
  x: Float32Array | Float64Array,
  lanes: number,
  data: number,
  size: number,
  turns: number,
  turnCount: number,
): void {
  for (let length = 1; length < size; length *= 2) {
    const turnStep = turnCount / length
    for (let k = 0; k < size; k++) {
      if (k & length) continue
      const [cos, sin] = x.subarray(turns + (k % length) * turnStep)
      for (let lane = 0; lane < lanes; lane++) {
        const a = data + 2 * lanes * k + lane
        butterfly(x, lanes, a, a + 2 * lanes * length, cos!, sin!)
      }
    }
  }
}

/** a + w · b and a − w · b in place of a and b; imaginary parts lie `apart` on. */
function butterfly(
  x: Float32Array | Float64Array,
  apart: number,
  a: number,
  b: number,
  cos: number,
  sin: number,
): void {
  const re = x[b]! * cos - x[b + apart]! * sin
  const im = x[b]! * sin + x[b + apart]! * cos
  x[b] = x[a]! - re
  x[b + apart] = x[a + apart]! - im
  x[a] = x[a]! + re
  x[a + apart] = x[a + apart]! + im
}
