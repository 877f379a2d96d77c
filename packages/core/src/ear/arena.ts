import type { Kernels } from './kernels/index.js'

/** Places in the memory of the kernels, handed out one after the other. */
export interface Arena {
  readonly kernels: Kernels
  /** Reserves `bytes` bytes and returns the place of the first, a multiple of 16; what they hold is unknown. */
  take(bytes: number): number
  /** Bytes handed out so far. */
  used(): number
  /** Gives back all that was taken since `used` was `bytes`. */
  release(bytes: number): void
}

export function makeArena(kernels: Kernels): Arena {
  let used = 0
  return {
    kernels,
    take(bytes) {
      const at = used
      used += (bytes + 15) & -16
      kernels.reserve(used)
      return at
    },
    used: () => used,
    release(bytes) {
      used = bytes
    },
  }
}
