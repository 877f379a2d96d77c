import { makeArena } from './arena.js'
import { type Kernels, makeKernels } from './kernels/index.js'

/** Half-length of the interpolation kernel, in zero crossings at the lower of the two rates. Chosen. */
const HALF_CROSSINGS = 16
/** Kaiser shape for about 80 dB of stop band. Derived: Kaiser & Schafer 1980, beta = 0.1102 (A - 8.7). */
const KAISER_BETA = 7.86
/** Pass band as a share of the lower Nyquist frequency. Chosen. */
const PASS_SHARE = 0.94
/** Most sub-sample positions kept; other ratios round to the nearest of these. Chosen. */
const MOST_PHASES = 2048
/** Output samples made at a time. Chosen. */
const BLOCK = 4096

/** Largest sum of magnitudes of integer taps: times 16-bit samples, sums stay within 32 bits. Derived. */
const TAPS_SUM = 65536

/**
 * Changes the sampling rate by a polyphase windowed sinc.
 *
 * @param samples linear, any length
 * @param fromHz  rate of `samples`, > 0
 * @param toHz    wanted rate, > 0
 * @returns `ceil(n · toHz / fromHz)` samples; sample k lies at time k / toHz exactly
 * @remarks O(n · taps). Stop band about 80 dB; exact positions where the ratio is simple (all usual rates). Works on 16-bit
 * integers, scaled anew every {@link BLOCK} samples: errors lie about 80 dB below the loudest of these.
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
  // Taps come in sixteens; those beyond the kernel are 0.
  const taps = (2 * half + 15) & -16
  const step = fromHz / toHz

  shared ??= makeKernels()
  const arena = makeArena(shared)
  const count = Math.ceil((BLOCK * step + taps + 3 * step + 2) / 8) * 8
  const table = arena.take(2 * phases * taps)
  const [sound, rounded, filtered] = [arena.take(4 * count), arena.take(2 * count), arena.take(4 * BLOCK)]
  const { floats, shorts } = shared
  const tapScale = roundTaps(kernelTable(phases, taps, half, cutoff), taps, shorts.subarray(table >> 1))
  for (let k = 0; k < out.length; k += BLOCK) {
    const from = Math.floor(k * step) - half + 1
    loadSamples(floats.subarray(sound >> 2, (sound >> 2) + count), samples, from)
    const scale = tapScale * shared.roundSamples(sound, count, rounded)
    // Output 0 of the table begins `half − 1` samples before its time.
    const origin = rounded - 2 * (from + half - 1)
    shared.filterPhases(origin, table, taps, phases, step, k, BLOCK, scale, filtered)
    const rest = Math.min(BLOCK, out.length - k)
    out.set(floats.subarray(filtered >> 2, (filtered >> 2) + rest), k)
  }
  return out
}

/** Writes taps as integers, as large as fits; returns what a step of them stands for. */
function roundTaps(table: Float32Array, taps: number, to: Int16Array): number {
  let largest = 0
  let largestSum = 0
  for (let row = 0; row < table.length; row += taps) {
    let sum = 0
    for (let k = row; k < row + taps; k++) {
      const tap = Math.abs(table[k]!)
      if (tap > largest) largest = tap
      sum += tap
    }
    if (sum > largestSum) largestSum = sum
  }
  // Rounding may add half a step to each.
  const gain = Math.min(32767 / largest, (TAPS_SUM - taps) / largestSum)
  for (let k = 0; k < table.length; k++) to[k] = Math.round(table[k]! * gain)
  return 1 / gain
}

/** One memory for all calls: what it holds is lost with the next. */
let shared: Kernels | undefined

/** Fills `to` with the samples from `from` on; places outside `samples` become 0. */
function loadSamples(to: Float32Array, samples: Float32Array, from: number): void {
  const first = Math.min(to.length, Math.max(0, -from))
  const end = Math.max(first, Math.min(to.length, samples.length - from))
  to.fill(0, 0, first)
  if (end > first) to.set(samples.subarray(from + first, from + end), first)
  to.fill(0, end)
}

function kernelTable(phases: number, taps: number, half: number, cutoff: number): Float32Array {
  const table = new Float32Array(phases * taps)
  const window = kaiserWindow()
  for (let p = 0; p < phases; p++) {
    for (let j = 0; j < 2 * half; j++) {
      const x = j - half + 1 - p / phases
      const place = (Math.abs(x) / half) * WINDOW_STEPS
      if (place >= WINDOW_STEPS) continue
      const k = Math.floor(place)
      const weight = window[k]! + (place - k) * (window[k + 1]! - window[k]!)
      const angle = Math.PI * x * cutoff
      table[p * taps + j] = cutoff * (angle === 0 ? 1 : Math.sin(angle) / angle) * weight
    }
  }
  return table
}

/** Points between which the window runs straight: it errs by 1e-6. Chosen. */
const WINDOW_STEPS = 1024

/** Kaiser's window from its middle to its end. */
function kaiserWindow(): Float64Array {
  const window = new Float64Array(WINDOW_STEPS + 1)
  const norm = bessel0(KAISER_BETA)
  for (let k = 0; k <= WINDOW_STEPS; k++)
    window[k] = bessel0(KAISER_BETA * Math.sqrt(1 - (k / WINDOW_STEPS) ** 2)) / norm
  return window
}

/** Modified Bessel function of the first kind, order 0, by its power series. */
function bessel0(x: number): number {
  const square = (x / 2) ** 2
  let term = 1
  let sum = 1
  for (let k = 1; term > 1e-12 * sum; k++) {
    term *= square / (k * k)
    sum += term
  }
  return sum
}

function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b)
}
