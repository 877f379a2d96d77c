import type { Frames } from './frames.js'
import { type Bench, multiplyFrames } from './layers.js'
import type { Matrix } from './place.js'
import type { Heard } from './types.js'

/** Logarithms of the chances of the first `count` frames, row by row. */
export function readSpeed(bench: Bench, matrix: Matrix, frames: Frames, count: number): Float32Array {
  const { kernels } = bench.arena
  const speed = new Float32Array(count * matrix.outputs)
  const step = 32 * matrix.blocks
  multiplyFrames(bench, matrix, frames, count, (t, rows) => {
    kernels.logSoftmaxRows(bench.first, step / 4, step, rows, bench.second, 4 * matrix.outputs)
    const from = bench.second >> 2
    speed.set(kernels.floats.subarray(from, from + rows * matrix.outputs), t * matrix.outputs)
  })
  return speed
}

/** Fine outputs, in the order of the network. */
const COLUMNS = ['cosine', 'sine', 'fired', 'engine', 'coasting'] as const

/** Fine outputs of the first `count` frames, column by column. */
export function readFine(
  bench: Bench,
  matrix: Matrix,
  frames: Frames,
  count: number,
): Pick<Heard, (typeof COLUMNS)[number]> {
  const { kernels } = bench.arena
  const columns = COLUMNS.map(() => new Float32Array(count))
  multiplyFrames(bench, matrix, frames, count, (t, rows) => {
    for (const [k, column] of columns.entries())
      for (let r = 0; r < rows; r++)
        column[t + r] = kernels.floats[(bench.first >> 2) + 8 * matrix.blocks * r + k]!
  })
  const [cosine, sine, fired, engine, coasting] = columns
  return { cosine: cosine!, sine: sine!, fired: fired!, engine: engine!, coasting: coasting! }
}
