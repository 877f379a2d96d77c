import type { PlainMemory } from './plainMemory.js'
import type { Kernels } from './types.js'

/** Plain kernels of what the turns of a run are compared by; see plain.ts. */
export function plainTurns(
  memory: PlainMemory,
): Pick<Kernels, 'multiplyAhead' | 'sumRows' | 'multiplyVector'> {
  return {
    multiplyAhead(x, width, rows, reach, out) {
      const { floats } = memory
      for (let r = 0; r < rows; r++)
        for (let lag = 1; lag <= reach; lag++) {
          const row = (x >> 2) + r * width
          let sum = 0
          for (let k = row; k < row + width; k++) sum += floats[k]! * floats[k + lag * width]!
          floats[(out >> 2) + r * reach + lag - 1] = sum
        }
    },
    sumRows(x, width, rows, weights, step, out) {
      const { floats } = memory
      for (let k = 0; k < width; k++) {
        let sum = 0
        for (let r = 0; r < rows; r++)
          sum += floats[(weights + r * step) >> 2]! * floats[(x >> 2) + r * width + k]!
        floats[(out >> 2) + k] = sum
      }
    },
    multiplyVector(x, width, rows, vector, out) {
      const { floats } = memory
      for (let r = 0; r < rows; r++) {
        let sum = 0
        for (let k = 0; k < width; k++) sum += floats[(x >> 2) + r * width + k]! * floats[(vector >> 2) + k]!
        floats[(out >> 2) + r] = sum
      }
    },
  }
}
