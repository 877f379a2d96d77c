import { smoothSteps } from './smoothSteps.js'

/** Samples of a step of the level: 8 ms. Given by the model, as are all numbers of this file. */
const STEP = 128
/** Steps over which the plain and the pre-emphasised sound are levelled: 0.4 s and 0.12 s. */
const PLAIN_SPAN = 50
const SHARP_SPAN = 15
const PREEMPHASIS = 0.9
/** Mean square that is added, so that silence stays silent. */
const FLOOR = 1e-9

/** Sound divided by its own root mean square over 0.4 s. @param sound at 16,000 Hz */
export function levelledPlain(sound: Float32Array): Float32Array {
  return levelled(sound, PLAIN_SPAN)
}

/** Pre-emphasised sound divided by its own root mean square over 0.12 s. @param sound at 16,000 Hz */
export function levelledSharp(sound: Float32Array): Float32Array {
  const sharp = new Float32Array(sound.length)
  for (let i = 1; i < sharp.length; i++) sharp[i] = sound[i]! - PREEMPHASIS * sound[i - 1]!
  return levelled(sharp, SHARP_SPAN)
}

function levelled(sound: Float32Array, span: number): Float32Array {
  const energies = new Float32Array(Math.ceil(sound.length / STEP))
  for (let k = 0; k < energies.length; k++) {
    let sum = 0
    for (let i = k * STEP; i < Math.min(sound.length, (k + 1) * STEP); i++) sum += sound[i]! ** 2
    energies[k] = sum / STEP
  }
  const means = smoothSteps(energies, span)
  const last = means.length - 1
  const out = new Float32Array(sound.length)
  for (let i = 0; i < out.length; i++) {
    // On a straight line between the middles of the steps, constant beyond the outermost.
    const place = Math.min(last, Math.max(0, (i + 0.5) / STEP - 0.5))
    const k = Math.min(last, Math.floor(place))
    const mean = means[k]! + (place - k) * (means[Math.min(last, k + 1)]! - means[k]!)
    out[i] = sound[i]! / Math.sqrt(mean + FLOOR)
  }
  return out
}
