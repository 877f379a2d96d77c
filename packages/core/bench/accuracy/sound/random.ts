/** Seeded random numbers of the second simulator and the made sounds: the same seed gives the same clip on every machine. */
export interface Random {
  /** Uniform in [0, 1). */
  uniform(): number
  /** Uniform in [low, high). */
  between(low: number, high: number): number
  /** Standard normal. */
  gauss(): number
  /** Whole number in [low, high], both ends included. */
  integer(low: number, high: number): number
  /** One of the items, each as likely as any other. */
  pick<T>(items: readonly T[]): T
  /** True with the given chance. */
  chance(probability: number): boolean
  /** An independent stream; the name keeps streams apart. */
  fork(name: string): Random
}

/**
 * Makes a stream from a seed and a name (small fast counter generator of C. Doty-Humphrey, 32 bits, seeded by a
 * multiply-and-shift hash).
 */
export function createRandom(seed: number, name = ''): Random {
  let hash = (seed ^ 0x9e3779b9) | 0
  for (let i = 0; i < name.length; i++) hash = mix((hash ^ name.charCodeAt(i)) | 0)
  let a = mix(hash + 1)
  let b = mix(hash + 2)
  let c = mix(hash + 3)
  let counter = 1
  const next = (): number => {
    const sum = (a + b + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = (((c << 21) | (c >>> 11)) + sum) | 0
    return sum >>> 0
  }
  for (let i = 0; i < 12; i++) next()
  const uniform = (): number => next() / 4294967296
  let spare: number | null = null
  const gauss = (): number => {
    if (spare !== null) {
      const kept = spare
      spare = null
      return kept
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()))
    const angle = 2 * Math.PI * uniform()
    spare = radius * Math.sin(angle)
    return radius * Math.cos(angle)
  }
  return {
    uniform,
    gauss,
    between: (low, high) => low + (high - low) * uniform(),
    integer: (low, high) => low + Math.floor(uniform() * (high - low + 1)),
    pick: (items) => items[Math.floor(uniform() * items.length)]!,
    chance: (probability) => uniform() < probability,
    fork: (child) => createRandom(mix(hash ^ seed), `${name}/${child}`),
  }
}

function mix(value: number): number {
  let x = value | 0
  x = Math.imul(x ^ (x >>> 16), 0x7feb352d)
  x = Math.imul(x ^ (x >>> 15), 0x846ca68b)
  return (x ^ (x >>> 16)) | 0
}
