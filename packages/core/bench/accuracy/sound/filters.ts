/** Small filters that work in place and hand the array back. Biquads after R. Bristow-Johnson's cookbook formulas. */

export type Band = 'lowpass' | 'highpass' | 'bandpass' | 'peak'

/** Second-order filter; `gainDb` counts for 'peak' only. Frequencies are held below 0.45 of the rate. */
export function filterBiquad(
  x: Float32Array,
  rateHz: number,
  band: Band,
  frequencyHz: number,
  q: number,
  gainDb = 0,
): Float32Array {
  const w = (2 * Math.PI * Math.min(frequencyHz, 0.45 * rateHz)) / rateHz
  const cos = Math.cos(w)
  const alpha = Math.sin(w) / (2 * q)
  const lift = 10 ** (gainDb / 40)
  const a0 = band === 'peak' ? 1 + alpha / lift : 1 + alpha
  const a1 = (-2 * cos) / a0
  const a2 = (band === 'peak' ? 1 - alpha / lift : 1 - alpha) / a0
  const b = {
    lowpass: [(1 - cos) / 2, 1 - cos, (1 - cos) / 2],
    highpass: [(1 + cos) / 2, -(1 + cos), (1 + cos) / 2],
    bandpass: [alpha, 0, -alpha],
    peak: [1 + alpha * lift, -2 * cos, 1 - alpha * lift],
  }[band]
  const b0 = b[0]! / a0
  const b1 = b[1]! / a0
  const b2 = b[2]! / a0
  let s1 = 0
  let s2 = 0
  for (let i = 0; i < x.length; i++) {
    const v = x[i]!
    const y = b0 * v + s1
    s1 = b1 * v - a1 * y + s2
    s2 = b2 * v - a2 * y
    x[i] = y
  }
  return x
}

/** First-order low-pass. */
export function smoothOnePole(x: Float32Array, rateHz: number, frequencyHz: number): Float32Array {
  const keep = Math.exp((-2 * Math.PI * frequencyHz) / rateHz)
  let y = 0
  for (let i = 0; i < x.length; i++) {
    y = x[i]! + keep * (y - x[i]!)
    x[i] = y
  }
  return x
}

/** Root mean square over [from, to). */
export function rootMeanSquare(x: ArrayLike<number>, from = 0, to = x.length): number {
  let sum = 0
  for (let i = from; i < to; i++) sum += x[i]! * x[i]!
  return to > from ? Math.sqrt(sum / (to - from)) : 0
}

/** Adds `gain` times `y` to `x`, in place. */
export function addScaled(x: Float32Array, y: ArrayLike<number>, gain: number): Float32Array {
  const n = Math.min(x.length, y.length)
  for (let i = 0; i < n; i++) x[i] = x[i]! + gain * y[i]!
  return x
}

/** Scales in place so that the root mean square becomes `level`; silence stays silence. */
export function scaleToLevel(x: Float32Array, level: number): Float32Array {
  const rms = rootMeanSquare(x)
  if (rms > 0) for (let i = 0; i < x.length; i++) x[i] = (x[i]! * level) / rms
  return x
}

/** Scales in place so that the largest sample is at most `ceiling`. */
export function limitPeak(x: Float32Array, ceiling: number): Float32Array {
  let peak = 0
  for (let i = 0; i < x.length; i++) peak = Math.max(peak, Math.abs(x[i]!))
  if (peak > ceiling) for (let i = 0; i < x.length; i++) x[i] = (x[i]! * ceiling) / peak
  return x
}

/** Keeps every `factor`-th sample after a windowed-sinc low-pass at 0.45 of the new rate. */
export function decimate(x: Float32Array, factor: number): Float32Array {
  if (factor === 1) return x
  const half = 24 * factor
  const taps = new Float64Array(2 * half + 1)
  for (let k = -half; k <= half; k++) {
    const t = (0.9 * k) / factor
    const sinc = k === 0 ? 1 : Math.sin(Math.PI * t) / (Math.PI * t)
    taps[k + half] = (0.9 / factor) * sinc * (0.5 + 0.5 * Math.cos((Math.PI * k) / (half + 1)))
  }
  const out = new Float32Array(Math.floor(x.length / factor))
  for (let i = 0; i < out.length; i++) {
    const centre = i * factor
    const from = Math.max(0, centre - half)
    const to = Math.min(x.length - 1, centre + half)
    let sum = 0
    for (let k = from; k <= to; k++) sum += x[k]! * taps[k - centre + half]!
    out[i] = sum
  }
  return out
}
