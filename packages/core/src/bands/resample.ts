/** Half-length of the interpolation kernel, in zero crossings at the lower of the two rates. */
const HALF_CROSSINGS = 16
/** Kaiser shape for about 80 dB of stop band. Derived: Kaiser & Schafer 1980, beta = 0.1102 (A - 8.7). */
const KAISER_BETA = 7.86
/** Pass band as a share of the lower Nyquist frequency. */
const PASS_SHARE = 0.94
/** Most sub-sample positions kept; other ratios round to the nearest of these. */
const MOST_PHASES = 2048

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
export function resample(samples: ArrayLike<number>, fromHz: number, toHz: number): Float32Array {
  const n = samples.length
  const outLength = Math.ceil((n * toHz) / fromHz)
  const out = new Float32Array(outLength)
  if (fromHz === toHz) {
    for (let i = 0; i < n; i++) out[i] = samples[i]!
    return out
  }
  const divisor = gcd(Math.round(fromHz), Math.round(toHz))
  const exact = Number.isInteger(fromHz) && Number.isInteger(toHz) && toHz / divisor <= MOST_PHASES
  const phases = exact ? toHz / divisor : MOST_PHASES
  const cutoff = PASS_SHARE * Math.min(1, toHz / fromHz)
  const half = Math.ceil(HALF_CROSSINGS / cutoff)
  const taps = 2 * half
  const table = kernelTable(phases, taps, half, cutoff)
  const step = fromHz / toHz
  for (let k = 0; k < outLength; k++) {
    const position = k * step
    let base = Math.floor(position)
    let phase = Math.round((position - base) * phases)
    if (phase === phases) {
      phase = 0
      base++
    }
    const first = base - half + 1
    let sum = 0
    const offset = phase * taps
    if (first >= 0 && first + taps <= n) {
      for (let j = 0; j < taps; j++) sum += table[offset + j]! * samples[first + j]!
    } else {
      for (let j = Math.max(0, -first); j < taps && first + j < n; j++)
        sum += table[offset + j]! * samples[first + j]!
    }
    out[k] = sum
  }
  return out
}

function kernelTable(phases: number, taps: number, half: number, cutoff: number): Float32Array {
  const table = new Float32Array(phases * taps)
  const norm = bessel0(KAISER_BETA)
  for (let p = 0; p < phases; p++) {
    for (let j = 0; j < taps; j++) {
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
