import { type PlainMemory, roundEven } from './plainMemory.js'
import type { Kernels } from './types.js'

/** Plain kernels from samples to what the network hears; see plain.ts. */
export function plainSound(
  memory: PlainMemory,
): Pick<Kernels, 'roundSamples' | 'filterPhases' | 'stepEnergies' | 'levelPairs' | 'compressRows'> {
  return {
    roundSamples(x, count, out) {
      const { floats, shorts } = memory
      const samples = floats.subarray(x >> 2, (x >> 2) + count)
      const largest = samples.reduce((most, v) => Math.max(most, Math.abs(v)), 1e-20)
      samples.forEach((v, k) => {
        shorts[(out >> 1) + k] = roundEven((32767 / largest) * v)
      })
      return largest / 32767
    },
    filterPhases(x, table, taps, phases, step, first, count, scale, out) {
      const { floats, shorts } = memory
      for (let k = 0; k < count; k++) {
        const position = (first + k) * step
        const whole = Math.floor(position)
        const phase = Math.floor((position - whole) * phases + 0.5)
        const from = (x >> 1) + (phase === phases ? whole + 1 : whole)
        const row = (table >> 1) + (phase % phases) * taps
        let sum = 0
        for (let j = 0; j < taps; j++) sum += shorts[from + j]! * shorts[row + j]!
        floats[(out >> 2) + k] = scale * sum
      }
    },
    stepEnergies(x, steps, share, plain, sharp) {
      const { floats } = memory
      for (let k = 0; k < steps; k++) {
        let a = 0
        let b = 0
        for (let i = (x >> 2) + 128 * k; i < (x >> 2) + 128 * (k + 1); i++) {
          a += floats[i]! ** 2
          b += (floats[i]! - share * floats[i - 1]!) ** 2
        }
        floats[(plain >> 2) + k] = a / 128
        floats[(sharp >> 2) + k] = b / 128
      }
    },
    levelPairs(x, plain, sharp, share, floor, first, count, out) {
      const { floats } = memory
      const root = (means: number, i: number) => {
        const step = (means >> 2) + ((i - 64) >> 7)
        const part = (((i - 64) & 127) + 0.5) / 128
        return Math.sqrt(floats[step]! + part * (floats[step + 1]! - floats[step]!) + floor)
      }
      for (let n = 0; n < count; n++) {
        const i = first + n
        const at = (x >> 2) + i
        floats[(out >> 2) + 2 * n] = floats[at]! / root(plain, i)
        floats[(out >> 2) + 2 * n + 1] = (floats[at]! - share * floats[at - 1]!) / root(sharp, i)
      }
    },
    compressRows(x, rows, signed, energies, out) {
      const { floats } = memory
      for (let r = 0; r < rows; r++) {
        const from = (x >> 2) + r * (signed + 2 * energies)
        const to = (out >> 2) + r * (signed + energies)
        for (let k = 0; k < signed; k++)
          floats[to + k] = floats[from + k]! / Math.sqrt(1 + Math.abs(floats[from + k]!))
        for (let k = signed; k < signed + energies; k++)
          floats[to + k] = Math.log(0.01 + floats[from + k]! ** 2 + floats[from + energies + k]! ** 2)
      }
    },
  }
}
