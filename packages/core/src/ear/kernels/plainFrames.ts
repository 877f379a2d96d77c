import { logistic } from '../../math/stats.js'
import { type PlainMemory, roundEven } from './plainMemory.js'
import type { Kernels } from './types.js'

/** Plain kernels of what happens over time; see plain.ts. */
export function plainFrames(memory: PlainMemory): Pick<Kernels, 'depthRows' | 'recur' | 'logSoftmaxRows'> {
  return {
    depthRows(x, channels, taps, dilation, rows, weights, biases, out) {
      const { floats } = memory
      const from = (x >> 2) - (taps >> 1) * dilation * channels
      for (let i = 0; i < rows * channels; i++) {
        const c = i % channels
        let sum = floats[(biases >> 2) + c]!
        for (let j = 0; j < taps; j++)
          sum += floats[(weights >> 2) + j * channels + c]! * floats[from + i + j * dilation * channels]!
        floats[(out >> 2) + i] = sum
      }
    },
    recur(x, xStep, units, steps, weights, weightScales, biases, state, rounded, out, outStep) {
      const { floats, shorts } = memory
      const h = floats.subarray(state >> 2, (state >> 2) + units).fill(0)
      const whole = shorts.subarray(rounded >> 1, (rounded >> 1) + units)
      /** One row of weights times the rounded state; gates are 0 for r, 1 for z, 2 for n. */
      const product = (unit: number, gate: number) => {
        const block = 3 * (unit >> 3) + gate
        const row = (weights >> 1) + block * 8 * units + 2 * (unit & 7)
        let sum = 0
        for (let k = 0; k < units; k++) sum += whole[k]! * shorts[row + 8 * (k & -2) + (k & 1)]!
        const m = 8 * block + (unit & 7)
        return sum * floats[(weightScales >> 2) + m]! + floats[(biases >> 2) + m]!
      }
      for (let n = 0; n < steps; n++) {
        for (let u = 0; u < units; u++) whole[u] = roundEven(32767 * h[u]!)
        const from = (x + n * xStep) >> 2
        const to = (out + n * outStep) >> 2
        for (let u = 0; u < units; u++) {
          const reset = logistic(floats[from + u]! + product(u, 0))
          const update = logistic(floats[from + units + u]! + product(u, 1))
          const fresh = Math.tanh(floats[from + 2 * units + u]! + reset * product(u, 2))
          h[u] = fresh + update * (h[u]! - fresh)
          floats[to + u] = floats[to + u]! + h[u]!
        }
      }
    },
    logSoftmaxRows(x, width, xStep, rows, out, outStep) {
      for (let r = 0; r < rows; r++) {
        const row = memory.floats.slice((x + r * xStep) >> 2, ((x + r * xStep) >> 2) + width)
        const largest = row.reduce((most, v) => Math.max(most, v), -Infinity)
        const shift = largest + Math.log(row.reduce((sum, v) => sum + Math.exp(v - largest), 0))
        memory.floats.set(
          row.map((v) => v - shift),
          (out + r * outStep) >> 2,
        )
      }
    },
  }
}
