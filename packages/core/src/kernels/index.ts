import { KERNEL_BASE64 } from './bytes.js'
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

let instance: { readonly memory: WebAssembly.Memory; readonly functions: KernelFunctions } | null | undefined

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

function instantiate(): { memory: WebAssembly.Memory; functions: KernelFunctions } | null {
  if (typeof WebAssembly === 'undefined') return null
  const bytes = Uint8Array.from(atob(KERNEL_BASE64), (c) => c.charCodeAt(0))
  if (!WebAssembly.validate(bytes)) return null
  const { memory, ...functions } = new WebAssembly.Instance(new WebAssembly.Module(bytes)).exports
  return { memory: memory as WebAssembly.Memory, functions: functions as unknown as KernelFunctions }
}
