import type { KernelFunctions } from './types.js'

/** The kernels of hidden Markov chains in plain JavaScript, over one memory seen two ways. */
export function plainChains(
  ints: Int32Array,
  doubles: Float64Array,
): Pick<KernelFunctions, 'chainForward' | 'chainBackward'> {
  const scaleRow = (row: number, states: number): void => {
    let sum = 0
    for (let s = row; s < row + states; s++) sum += doubles[s]!
    for (let s = row; s < row + states; s++) doubles[s] = doubles[s]! / sum
  }
  return {
    chainForward(emission, rows, states, entry, ends, chances, steps, fresh, out) {
      for (let k = 0; k < rows; k++) {
        const row = out / 2 + k * states
        const heard = emission / 2 + k * states
        for (let s = 0; s < states; s++) doubles[row + s] = (k === 0 ? 1 : fresh) * doubles[entry / 2 + s]!
        for (let i = 0; k > 0 && i < steps; i++) {
          const before = doubles[row - states + ints[ends + 2 * i]!]!
          const to = row + ints[ends + 2 * i + 1]!
          doubles[to] = doubles[to]! + (1 - fresh) * before * doubles[chances / 2 + i]!
        }
        for (let s = 0; s < states; s++) doubles[row + s] = doubles[row + s]! * doubles[heard + s]!
        scaleRow(row, states)
      }
    },
    chainBackward(emission, rows, states, entry, ends, chances, steps, fresh, out) {
      doubles.fill(1, out / 2 + (rows - 1) * states, out / 2 + rows * states)
      for (let k = rows - 2; k >= 0; k--) {
        const row = out / 2 + k * states
        const after = row + states
        const heard = emission / 2 + (k + 1) * states
        let anew = 0
        for (let s = 0; s < states; s++)
          anew += fresh * doubles[entry / 2 + s]! * doubles[after + s]! * doubles[heard + s]!
        doubles.fill(anew, row, after)
        for (let i = 0; i < steps; i++) {
          const from = row + ints[ends + 2 * i]!
          const to = ints[ends + 2 * i + 1]!
          const chance = (1 - fresh) * doubles[chances / 2 + i]!
          doubles[from] = doubles[from]! + chance * doubles[after + to]! * doubles[heard + to]!
        }
        scaleRow(row, states)
      }
    },
  }
}
