import { EAR_RATE_HZ, FRAME_RATE_HZ } from '../ear/constants.js'

/** Lower end of the band, Hz. Chosen: below it is wind. */
const BAND_LOW_HZ = 30
/** Steps to one decibel in which levels are kept, in 8 bits, and the lowest of them, dB re full scale. Chosen. */
const STEPS_PER_DB = 2
const LOWEST_DB = -126
/** Quality of a second-order Butterworth filter. Derived: 1 / √2. */
const BUTTERWORTH = Math.SQRT1_2

/**
 * Level of the sound from 30 to 4,000 Hz in every fine frame.
 *
 * @param sound at 16,000 Hz
 * @returns ⌈m / 16⌉ levels as {@link LEVEL_POWER} reads them: half decibels above -126 dB re full scale
 * @remarks Half of the power at either end of the band; 12 dB an octave below, and above a mean of two samples, which is
 *   cos(π f / 16,000 Hz).
 * @see R. Bristow-Johnson, "Audio EQ Cookbook": second-order high-pass
 */
export function bandLevel(sound: Float32Array): Uint8Array {
  const size = EAR_RATE_HZ / FRAME_RATE_HZ
  const out = new Uint8ClampedArray(Math.ceil(sound.length / size))
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
    out[k] = STEPS_PER_DB * (10 * Math.log10(sum / frames) - LOWEST_DB)
  }
  return new Uint8Array(out.buffer)
}

/** Mean square, linear, of each of the levels. Derived. */
export const LEVEL_POWER: Float64Array = Float64Array.from(
  { length: 256 },
  (_, step) => 10 ** ((LOWEST_DB + step / STEPS_PER_DB) / 10),
)

/** Coefficients of a second-order Butterworth high-pass at the rate of the ear, but for its zeros, both at 0 Hz. */
function highPass(cutHz: number): { gain: number; a1: number; a2: number } {
  const w = (2 * Math.PI * cutHz) / EAR_RATE_HZ
  const alpha = Math.sin(w) / (2 * BUTTERWORTH)
  const scale = 1 + alpha
  return { gain: (1 + Math.cos(w)) / 2 / scale, a1: (-2 * Math.cos(w)) / scale, a2: (1 - alpha) / scale }
}
