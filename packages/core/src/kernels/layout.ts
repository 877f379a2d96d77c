/** Places for arrays in the memory of the kernels, one after the other, each at a multiple of four words. */
export interface Layout {
  /** Reserves `words` words and returns the position of the first. */
  take(words: number): number
  /** Words reserved so far. */
  total(): number
}

export function makeLayout(): Layout {
  let used = 0
  return {
    take(words) {
      const at = used
      used += (words + 3) & -4
      return at
    },
    total: () => used,
  }
}

/** As {@link loadSamples}, but places outside `x` hold its nearest end value. */
export function loadHeld(
  floats: Float32Array,
  at: number,
  x: Float32Array,
  from: number,
  count: number,
): void {
  loadSamples(floats, at, x, from, count)
  if (x.length === 0) return
  const first = Math.min(count, Math.max(0, -from))
  const last = Math.max(0, Math.min(count, x.length - from))
  floats.fill(x[0]!, at, at + first)
  floats.fill(x.at(-1)!, at + last, at + count)
}

/** Copies samples `from` … `from + count − 1` of `x` to position `at`; places outside `x` become 0. */
export function loadSamples(
  floats: Float32Array,
  at: number,
  x: Float32Array,
  from: number,
  count: number,
): void {
  const first = Math.min(count, Math.max(0, -from))
  const last = Math.max(first, Math.min(count, x.length - from))
  floats.fill(0, at, at + first)
  if (last > first) floats.set(x.subarray(from + first, from + last), at + first)
  floats.fill(0, at + last, at + count)
}
