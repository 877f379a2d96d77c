import { rootMeanSquare } from '../sound/filters.js'

/** Quietest level that is still lifted, relative to the clip's own: -40 dB. */
const LEAST = 0.01

/** Divides a sound by its own level of the last moments, as phones do, only more quickly. In place; the mean level stays. */
export function levelQuickly(x: Float32Array, rateHz: number, timeS: number): Float32Array {
  const level = rootMeanSquare(x)
  if (level === 0) return x
  const keep = Math.exp(-1 / (timeS * rateHz))
  const least = (LEAST * level) ** 2
  let power = level ** 2
  for (let i = 0; i < x.length; i++) {
    power = x[i]! ** 2 + keep * (power - x[i]! ** 2)
    x[i] = (level * x[i]!) / Math.sqrt(Math.max(power, least))
  }
  return x
}
