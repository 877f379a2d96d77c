import type { KernelFunctions } from './types.js'

/** The kernels of hidden Markov chains and of clusters in plain JavaScript, over one memory seen two ways. */
export function plainChains(
  ints: Int32Array,
  doubles: Float64Array,
): Pick<KernelFunctions, 'chainForward' | 'chainBackward' | 'clusterSums' | 'clusterChances'> {
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
    clusterSums(points, size, directions, chance, low, high) {
      for (let d = 0; d < directions; d++) {
        let ofLow = 0
        let ofHigh = 0
        for (let i = 0; i < size; i++) {
          const p = doubles[chance / 2 + i]!
          const x = doubles[points / 2 + i * directions + d]!
          ofLow += (1 - p) * x
          ofHigh += p * x
        }
        doubles[low / 2 + d] = ofLow
        doubles[high / 2 + d] = ofHigh
      }
    },
    clusterChances(points, size, directions, along, middle, prior, chance) {
      let moved = 0
      for (let i = 0; i < size; i++) {
        let place = -middle
        for (let d = 0; d < directions; d++)
          place += doubles[along / 2 + d]! * doubles[points / 2 + i * directions + d]!
        const p = 1 / (1 + Math.exp(-(place + prior)))
        moved = Math.max(moved, Math.abs(p - doubles[chance / 2 + i]!))
        doubles[chance / 2 + i] = p
      }
      return moved
    },
  }
}
