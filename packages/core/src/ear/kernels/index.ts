import { KERNEL_MODULES } from './bytes.js'
import { plainKernels } from './plain.js'
import type { KernelFunctions, Kernels } from './types.js'

export { type Kernels, THEN, type Then } from './types.js'

/** Published: WebAssembly 1.0, section 4.2.8. */
const PAGE_BYTES = 65536

/**
 * The inner loops with a memory of their own.
 *
 * @remarks Plain JavaScript where WebAssembly has no SIMD.
 */
export function makeKernels(): Kernels {
  return simdKernels() ?? plainKernels()
}

let modules: WebAssembly.Module[] | null | undefined

/** The inner loops with SIMD; null where the machine has none. */
export function simdKernels(): Kernels | null {
  modules ??= compile()
  if (!modules) return null
  const memory = new WebAssembly.Memory({ initial: 1 })
  const imports = { env: { memory }, frames: { log: Math.log } }
  const functions: KernelFunctions = Object.assign(
    {},
    ...modules.map((module) => new WebAssembly.Instance(module, imports).exports),
  )
  const views = () => ({
    floats: new Float32Array(memory.buffer),
    doubles: new Float64Array(memory.buffer),
    shorts: new Int16Array(memory.buffer),
  })
  return {
    ...functions,
    ...views(),
    reserve(bytes) {
      const missing = bytes - memory.buffer.byteLength
      if (missing <= 0) return
      memory.grow(Math.ceil(missing / PAGE_BYTES))
      Object.assign(this, views())
    },
  }
}

/** All modules; null where one of them is not valid here. */
function compile(): WebAssembly.Module[] | null {
  if (typeof WebAssembly === 'undefined') return null
  const bytes = KERNEL_MODULES.map((text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0)))
  if (!bytes.every((module) => WebAssembly.validate(module))) return null
  return bytes.map((module) => new WebAssembly.Module(module))
}
