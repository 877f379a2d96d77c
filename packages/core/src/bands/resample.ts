import { borrowKernels } from '../kernels/index.js'
import { loadSamples, makeLayout } from '../kernels/layout.js'

/** Half-length of the interpolation kernel, in zero crossings at the lower of the two rates. */
const HALF_CROSSINGS = 16
/** Kaiser shape for about 80 dB of stop band. Derived: Kaiser & Schafer 1980, beta = 0.1102 (A - 8.7). */
const KAISER_BETA = 7.86
/** Pass band as a share of the lower Nyquist frequency. */
const PASS_SHARE = 0.94
/** Most sub-sample positions kept; other ratios round to the nearest of these. */
const MOST_PHASES = 2048
/** Output samples made at a time. */
const BLOCK = 4096

/**
 * Changes the sampling rate by a polyphase windowed sinc.
 *
 * @param samples linear, any length
 * @param fromHz  rate of `samples`, > 0
 * @param toHz    wanted rate, > 0
 * @returns `ceil(n · toHz / fromHz)` samples; sample k lies at time k / toHz exactly
 * @remarks O(n · taps). Stop band about 80 dB; exact positions where the ratio is simple (all usual rates).
 * @see Smith, "Digital Audio Resampling", CCRMA Stanford
 */
export function resample(samples: Float32Array, fromHz: number, toHz: number): Float32Array {
  if (fromHz === toHz) return samples.slice()
  const out = new Float32Array(Math.ceil((samples.length * toHz) / fromHz))
  const divisor = gcd(Math.round(fromHz), Math.round(toHz))
  const exact = Number.isInteger(fromHz) && Number.isInteger(toHz) && toHz / divisor <= MOST_PHASES
  const phases = exact ? toHz / divisor : MOST_PHASES
  const cutoff = PASS_SHARE * Math.min(1, toHz / fromHz)
  const half = Math.ceil(HALF_CROSSINGS / cutoff)
  // Taps come in eights; those beyond the kernel are 0.
  const taps = (2 * half + 7) & -8
  const step = fromHz / toHz
  const layout = makeLayout()
  const table = layout.take(phases * taps)
  const soundWords = Math.ceil(BLOCK * step) + taps + 2
  const sound = layout.take(soundWords)
  const filtered = layout.take(BLOCK)
  const kernels = borrowKernels(layout.total())
  kernels.floats.set(kernelTable(phases, taps, half, cutoff), table)
  for (let k = 0; k < out.length; k += BLOCK) {
    const count = Math.min(BLOCK, out.length - k)
    const from = Math.floor(k * step) - half + 1
    loadSamples(kernels.floats, sound, samples, from, soundWords)
    kernels.filterPhases(sound - from - half + 1, table, taps, phases, step, k, count, filtered)
    out.set(kernels.floats.subarray(filtered, filtered + count), k)
  }
  return out
}

function kernelTable(phases: number, taps: number, half: number, cutoff: number): Float32Array {
  const table = new Float32Array(phases * taps)
  const norm = bessel0(KAISER_BETA)
  for (let p = 0; p < phases; p++) {
    for (let j = 0; j < 2 * half; j++) {
      const x = j - half + 1 - p / phases
      const share = x / half
      if (Math.abs(share) >= 1) continue
      const window = bessel0(KAISER_BETA * Math.sqrt(1 - share * share)) / norm
      const angle = Math.PI * x * cutoff
      table[p * taps + j] = cutoff * (angle === 0 ? 1 : Math.sin(angle) / angle) * window
    }
  }
  return table
}

/** Modified Bessel function of the first kind, order 0, by its power series. */
function bessel0(x: number): number {
  let term = 1
  let sum = 1
  for (let k = 1; k < 40; k++) {
    term *= (x / (2 * k)) ** 2
    sum += term
    if (term < 1e-12 * sum) break
  }
  return sum
}

function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b)
}
