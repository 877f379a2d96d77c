/** Small filters that work in place on a buffer. */

/** First-order low-pass, corner in Hz. */
export function lowpass(x: Float32Array, rateHz: number, hz: number): Float32Array {
  const a = 1 - Math.exp((-2 * Math.PI * hz) / rateHz)
  let y = 0
  for (let i = 0; i < x.length; i++) {
    y += a * (x[i]! - y)
    x[i] = y
  }
  return x
}

/** First-order high-pass, corner in Hz. */
export function highpass(x: Float32Array, rateHz: number, hz: number): Float32Array {
  const a = 1 - Math.exp((-2 * Math.PI * hz) / rateHz)
  let y = x.length > 0 ? x[0]! : 0
  for (let i = 0; i < x.length; i++) {
    const now = x[i]!
    y += a * (now - y)
    x[i] = now - y
  }
  return x
}

type Biquad = readonly [number, number, number, number, number]

/**
 * Second-order sections after the audio cookbook.
 * @see R. Bristow-Johnson, "Cookbook formulae for audio equalizer biquad filter coefficients" (W3C note, 2021)
 */
export function biquad(kind: 'low' | 'high' | 'band', rateHz: number, hz: number, q: number): Biquad {
  const w = (2 * Math.PI * Math.min(hz, rateHz * 0.49)) / rateHz
  const alpha = Math.sin(w) / (2 * q)
  const c = Math.cos(w)
  const a0 = 1 + alpha
  const b =
    kind === 'low'
      ? [(1 - c) / 2, 1 - c, (1 - c) / 2]
      : kind === 'high'
        ? [(1 + c) / 2, -1 - c, (1 + c) / 2]
        : [alpha, 0, -alpha]
  return [b[0]! / a0, b[1]! / a0, b[2]! / a0, (-2 * c) / a0, (1 - alpha) / a0]
}

/** Adds `gain` times the filtered input to `into`; `into` may be the input itself only through {@link filter}. */
export function addFiltered(
  into: Float32Array,
  x: Float32Array,
  [b0, b1, b2, a1, a2]: Biquad,
  gain: number,
): void {
  let s1 = 0
  let s2 = 0
  for (let i = 0; i < x.length; i++) {
    const now = x[i]!
    const y = b0 * now + s1
    s1 = b1 * now - a1 * y + s2
    s2 = b2 * now - a2 * y
    into[i] = into[i]! + gain * y
  }
}

/** Filters in place. */
export function filter(x: Float32Array, [b0, b1, b2, a1, a2]: Biquad): Float32Array {
  let s1 = 0
  let s2 = 0
  for (let i = 0; i < x.length; i++) {
    const now = x[i]!
    const y = b0 * now + s1
    s1 = b1 * now - a1 * y + s2
    s2 = b2 * now - a2 * y
    x[i] = y
  }
  return x
}

/** Fourth-order band-limit in place; an edge outside the band that exists is left out. */
export function bandLimit(x: Float32Array, rateHz: number, lowHz: number, highHz: number): Float32Array {
  for (const q of [0.541, 1.307]) {
    if (lowHz > 0) filter(x, biquad('high', rateHz, lowHz, q))
    if (highHz < 0.47 * rateHz) filter(x, biquad('low', rateHz, highHz, q))
  }
  return x
}

/** Keeps every `factor`-th sample behind a Kaiser-windowed sinc (about 70 dB, edge at 0.9 of the new half rate). */
export function decimate(x: Float32Array, factor: number): Float32Array {
  if (factor === 1) return x
  const half = 16 * factor
  const taps = new Float64Array(2 * half + 1)
  const cut = 0.45 / factor
  let sum = 0
  for (let k = -half; k <= half; k++) {
    const sinc = k === 0 ? 2 * cut : Math.sin(2 * Math.PI * cut * k) / (Math.PI * k)
    const tap = sinc * besselI0(7 * Math.sqrt(1 - (k / half) ** 2))
    taps[k + half] = tap
    sum += tap
  }
  const y = new Float32Array(Math.floor(x.length / factor))
  for (let i = 0; i < y.length; i++) {
    const centre = i * factor
    const from = Math.max(0, centre - half)
    const to = Math.min(x.length - 1, centre + half)
    let value = 0
    for (let n = from; n <= to; n++) value += x[n]! * taps[n - centre + half]!
    y[i] = value / sum
  }
  return y
}

export function rootMeanSquare(x: Float32Array, from = 0, to = x.length): number {
  let sum = 0
  for (let i = from; i < to; i++) sum += x[i]! * x[i]!
  return Math.sqrt(sum / Math.max(1, to - from))
}

function besselI0(x: number): number {
  let sum = 1
  let term = 1
  for (let k = 1; k < 30; k++) {
    term *= (x / (2 * k)) ** 2
    sum += term
  }
  return sum
}
