/**
 * Seeded uniform numbers in [0, 1): the same seed gives the same sequence on every machine.
 *
 * @param seed any number; its lowest 32 bits count
 * @returns a function that gives the next number
 * @remarks Period about 2³²: enough for resampling, not for secrets.
 * @see Tommy Ettinger's mulberry32 (public domain)
 * @example
 * const next = seededRandom(1)
 * next() !== next() // true
 */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = Math.imul(state ^ (state >>> 15), state | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}
