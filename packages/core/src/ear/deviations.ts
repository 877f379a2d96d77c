import { dot } from '../math/matrix.js'
import { clamp, mean } from '../math/stats.js'

/** What is added to a standard deviation before it divides. Given by the model. */
export const LEAST_SD = 1e-6

/** Standard deviation, of all that there is. @param middle their mean, where it is known */
export function deviation(values: Float64Array, middle: number = mean(values)): number {
  let square = 0
  for (let n = 0; n < values.length; n++) square += (values[n]! - middle) ** 2
  return Math.sqrt(square / values.length)
}

/** Distances from the mean in standard deviations, to which `least` is added. */
export function inDeviations(values: ArrayLike<number>, least: number): Float64Array {
  const off = new Float64Array(values)
  const middle = mean(off)
  const sd = deviation(off, middle) + least
  for (let n = 0; n < off.length; n++) off[n] = (off[n]! - middle) / sd
  return off
}

/** Values of which none is further than `most` from nothing. */
export function clamped(values: Float64Array, most: number): Float64Array {
  return values.map((x) => clamp(x, -most, most))
}

/** How far two columns go together, -1 to 1. */
export function correlation(one: ArrayLike<number>, other: ArrayLike<number>): number {
  const [a, b] = [inDeviations(one, LEAST_SD), inDeviations(other, LEAST_SD)]
  return dot(a, b) / a.length
}
