import { plainFrames } from './plainFrames.js'
import { plainKinds } from './plainKinds.js'
import { type PlainMemory, roundEven } from './plainMemory.js'
import { plainSound } from './plainSound.js'
import { plainTurns } from './plainTurns.js'
import type { Kernels } from './types.js'
import { THEN } from './types.js'

/** The kernels in plain JavaScript, for machines without SIMD in WebAssembly and as the other side of the tests. */
export function plainKernels(): Kernels {
  const memory: PlainMemory = {
    floats: new Float32Array(0),
    doubles: new Float64Array(0),
    shorts: new Int16Array(0),
  }
  return Object.assign(
    memory,
    plainMatrix(memory),
    plainFrames(memory),
    plainSound(memory),
    plainTurns(memory),
    plainKinds(memory),
    {
      reserve(bytes: number) {
        if (memory.floats.byteLength >= bytes) return
        const grown = new Float32Array(2 * Math.ceil(bytes / 8))
        grown.set(memory.floats)
        memory.floats = grown
        memory.doubles = new Float64Array(grown.buffer)
        memory.shorts = new Int16Array(grown.buffer)
      },
    },
  )
}

function plainMatrix(memory: PlainMemory): Pick<Kernels, 'quantiseRows' | 'multiplyRows'> {
  return {
    quantiseRows(x, xStep, width, rows, most, out, scales) {
      const { floats, shorts } = memory
      for (let r = 0; r < rows; r++) {
        const from = (x + r * xStep) >> 2
        let largest = 1e-20
        for (let k = from; k < from + width; k++) largest = Math.max(largest, Math.abs(floats[k]!))
        floats[(scales >> 2) + r] = largest / most
        const gain = Math.fround(most / largest)
        const to = (out >> 1) + (r >> 2) * 4 * width + 2 * (r & 3)
        for (let k = 0; k < width; k++)
          shorts[to + 8 * (k >> 1) + (k & 1)] = roundEven(floats[from + k]! * gain)
      }
    },
    multiplyRows(x, scales, width, rows, weights, weightScales, biases, blocks, then, plus, out, outStep) {
      const { floats, shorts } = memory
      const row = new Int16Array(width)
      for (let r = 0; r < rows; r++) {
        const from = (x >> 1) + (r >> 2) * 4 * width + 2 * (r & 3)
        for (let k = 0; k < width; k++) row[k] = shorts[from + 8 * (k >> 1) + (k & 1)]!
        for (let m = 0; m < 8 * blocks; m++) {
          const weight = (weights >> 1) + (m >> 3) * 8 * width + 2 * (m & 7)
          let sum = 0
          for (let k = 0, w = weight; k < width; k += 2, w += 16)
            sum = (sum + Math.imul(row[k]!, shorts[w]!) + Math.imul(row[k + 1]!, shorts[w + 1]!)) | 0
          const scale = floats[(scales >> 2) + r]! * floats[(weightScales >> 2) + m]!
          const value = sum * scale + floats[(biases >> 2) + m]!
          const at = r * outStep + 4 * m
          if (then === THEN.hardSwish)
            floats[(out + at) >> 2] = (value * Math.min(6, Math.max(0, value + 3))) / 6
          else floats[(out + at) >> 2] = then === THEN.plus ? value + floats[(plus + at) >> 2]! : value
        }
      }
    },
  }
}
