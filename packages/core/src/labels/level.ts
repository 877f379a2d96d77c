import { EAR_RATE_HZ, FRAME_RATE_HZ } from '../ear/constants.js'

/** Lower end of the band, Hz. Chosen: below it is wind. */
const BAND_LOW_HZ = 30
/** Quality of a second-order Butterworth filter. Derived: 1 / √2. */
const BUTTERWORTH = Math.SQRT1_2

/**
 * Power of the sound from 30 to 4,000 Hz in every fine frame.
 *
 * @param sound at 16,000 Hz
 * @returns mean squares of ⌈m / 16⌉ frames, linear
 * @remarks Half of the power at either end of the band; 12 dB an octave below, and above a mean of two samples, which is
 *   cos(π f / 16,000 Hz).
 * @see R. Bristow-Johnson, "Audio EQ Cookbook": second-order high-pass
 */
export function bandPower(sound: Float32Array): Float32Array {
  const size = EAR_RATE_HZ / FRAME_RATE_HZ
  const out = new Float32Array(Math.ceil(sound.length / size))
  const { gain, a1, a2 } = highPass(BAND_LOW_HZ)
  let [x1, x2, y1, y2] = [0, 0, 0, 0]
  for (let k = 0, i = 0; k < out.length; k++) {
    const end = Math.min(sound.length, i + size)
    const frames = end - i
    let sum = 0
    for (; i < end; i++) {
      const x = sound[i]!
      const y = gain * (x - 2 * x1 + x2) - a1 * y1 - a2 * y2
      const mean = (y + y1) / 2
      x2 = x1
      x1 = x
      y2 = y1
      y1 = y
      sum += mean * mean
    }
    out[k] = sum / frames
  }
  return out
}

/** Coefficients of a second-order Butterworth high-pass at the rate of the ear, but for its zeros, both at 0 Hz. */
function highPass(cutHz: number): { gain: number; a1: number; a2: number } {
  const w = (2 * Math.PI * cutHz) / EAR_RATE_HZ
  const alpha = Math.sin(w) / (2 * BUTTERWORTH)
  const scale = 1 + alpha
  return { gain: (1 + Math.cos(w)) / 2 / scale, a1: (-2 * Math.cos(w)) / scale, a2: (1 - alpha) / scale }
}
