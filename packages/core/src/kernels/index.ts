import { KERNEL_MODULES } from './bytes.js'
import { plainKernels } from './plain.js'
import type { KernelFunctions, Kernels } from './types.js'

export type { Kernels } from './types.js'

const PAGE_BYTES = 65536

let shared: Kernels | undefined

/**
 * The inner loops, with at least `words` words of memory.
 *
 * One memory serves everyone: its contents are unknown at first and lost with the next call of this function, so a
 * stage takes it, fills it, reads its results and calls nothing that might take it in between.
 *
 * @remarks Needs about 1 ms the first time. Falls back to plain JavaScript without WebAssembly SIMD.
 */
export function borrowKernels(words: number): Kernels {
  if (shared && shared.floats.length >= words) return shared
  shared = simdKernels(words) ?? plainKernels(words)
  return shared
}

interface Instance {
  readonly memory: WebAssembly.Memory
  readonly functions: KernelFunctions
}
let instance: Instance | null | undefined

/** The kernels with SIMD and `words` words of memory or more; null where the machine has none. */
export function simdKernels(words: number): Kernels | null {
  if (instance === undefined) instance = instantiate()
  if (!instance) return null
  const { memory, functions } = instance
  const missing = 4 * words - memory.buffer.byteLength
  if (missing > 0) memory.grow(Math.ceil(missing / PAGE_BYTES))
  const { buffer } = memory
  return {
    ...functions,
    floats: new Float32Array(buffer),
    ints: new Int32Array(buffer),
    doubles: new Float64Array(buffer),
  }
}

/** All modules over one memory; null where one of them is not valid here. */
function instantiate(): Instance | null {
  if (typeof WebAssembly === 'undefined') return null
  const modules = KERNEL_MODULES.map((text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0)))
  if (!modules.every((bytes) => WebAssembly.validate(bytes))) return null
  const memory = new WebAssembly.Memory({ initial: 1 })
  const imports = { env: { memory }, turns: { atan2: Math.atan2 }, chains: { exp: Math.exp } }
  const parts = modules.map(
    (bytes) => new WebAssembly.Instance(new WebAssembly.Module(bytes), imports).exports,
  )
  return { memory, functions: Object.assign({}, ...parts) as KernelFunctions }
}
