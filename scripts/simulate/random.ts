/** Seeded random numbers: the same seed gives the same clip on every machine. */
export interface Random {
  /** Uniform in [0, 1). */
  (): number
  /** Uniform in [low, high). */
  range(low: number, high: number): number
  /** Log-uniform in [low, high): equal chance for every octave. */
  octaves(low: number, high: number): number
  /** Whole number from low to high, both included. */
  whole(low: number, high: number): number
  /** Gaussian with mean 0 and standard deviation 1. */
  normal(): number
  /** True with the given chance. */
  chance(probability: number): boolean
  pick<T>(items: readonly T[]): T
  /** An independent stream with its own name: drawing more from one part leaves the other parts as they were. */
  fork(name: string): Random
}

/**
 * Seeds a generator (sfc32).
 *
 * @param seed any finite number; the fraction is dropped
 * @see Chris Doty-Humphrey, "PractRand" (2010), generator sfc32 (from memory)
 */
export function createRandom(seed: number, name = ''): Random {
  let a = hashText(`${name}/a`, seed)
  let b = hashText(`${name}/b`, seed)
  let c = hashText(`${name}/c`, seed)
  let counter = 1
  const next = (): number => {
    const sum = (a + b + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = ((c << 21) | (c >>> 11)) + sum
    return (sum >>> 0) / 4294967296
  }
  for (let i = 0; i < 16; i++) next()
  let spare = Number.NaN
  return Object.assign(next, {
    range: (low: number, high: number) => low + (high - low) * next(),
    octaves: (low: number, high: number) => low * (high / low) ** next(),
    whole: (low: number, high: number) => low + Math.floor((high - low + 1) * next()),
    normal: () => {
      if (!Number.isNaN(spare)) {
        const kept = spare
        spare = Number.NaN
        return kept
      }
      const radius = Math.sqrt(-2 * Math.log(1 - next()))
      const angle = 2 * Math.PI * next()
      spare = radius * Math.sin(angle)
      return radius * Math.cos(angle)
    },
    chance: (probability: number) => next() < probability,
    pick: <T>(items: readonly T[]) => items[Math.floor(next() * items.length)]!,
    fork: (child: string) => createRandom(seed, `${name}/${child}`),
  })
}

/** FNV-1a over the text and the seed. */
function hashText(text: string, seed: number): number {
  let hash = 0x811c9dc5 ^ Math.trunc(seed)
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193)
  hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d)
  return hash ^ (hash >>> 13)
}
