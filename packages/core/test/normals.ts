import { seededRandom } from '../src/math/random.js'

/** Normally distributed numbers, mean 0 and standard deviation 1: the same for the same seed. @see Box and Muller, 1958 */
export function normals(seed: number): () => number {
  const next = seededRandom(seed)
  return () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next())
}
