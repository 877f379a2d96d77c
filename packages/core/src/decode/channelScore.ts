import FFT from 'fft.js'
import {
  MAX_PERIOD_S,
  MIN_PERIOD_S,
  PROBE_BANDS_HZ,
  PROBE_COUNT,
  PROBE_RATE_HZ,
  PROBE_S,
} from './constants.js'

/** A mix to be judged: the weight of each channel. */
export type Mix = readonly number[]

/**
 * Scores mixes of channels by how much their loudness pulses regularly.
 *
 * Short windows spread over the clip; in each, three bands; in each, the envelope's normalised autocorrelation r. The
 * score is the largest r(T) − r(T/2) + r(2T) − r(3T/2) over periods T, halved: about 1 for clean pulses, near 0 for
 * noise, and also for wind, whose slow swell makes all lags alike. Filters are linear, so each channel is filtered once
 * and the mixes are made afterwards.
 *
 * @param channels same length n > 0 each, finite
 * @param rateHz   samples a second
 * @param mixes    one weight a channel each, at most two of them other than 0
 * @returns one score a mix, −1 to 1; 0 for a silent mix
 * @remarks Some 5 s of sound are looked at, whatever the length of the clip.
 */
export function scoreMixes(
  channels: readonly Float32Array[],
  rateHz: number,
  mixes: readonly Mix[],
): Float64Array {
  const step = Math.max(1, Math.round(rateHz / PROBE_RATE_HZ))
  const envelopeRateHz = rateHz / step
  const points = Math.floor(PROBE_S * envelopeRateHz)
  const windowLength = points * step
  const bands = PROBE_BANDS_HZ.filter(([, high]) => high < 0.48 * rateHz)
  const scores = new Float64Array(mixes.length)
  const correlate = makeCorrelator(points)
  const starts = windowStarts(channels[0]!.length, windowLength)
  for (const start of starts) {
    for (const [low, high] of bands) {
      const filtered = channels.map((x) => bandPass(x, start, windowLength, low, high, rateHz))
      for (let m = 0; m < mixes.length; m++) {
        scores[m]! += pulsation(correlate(envelope(filtered, mixes[m]!, step, points)), envelopeRateHz)
      }
    }
  }
  return scores.map((sum) => sum / (starts.length * bands.length))
}

/** Evenly spread, without overlap; fewer where the clip is short. */
function windowStarts(length: number, windowLength: number): number[] {
  const count = Math.max(1, Math.min(PROBE_COUNT, Math.floor(length / windowLength)))
  const room = Math.max(0, length - windowLength)
  return Array.from({ length: count }, (_, i) => (count === 1 ? 0 : Math.floor((i * room) / (count - 1))))
}

/** Two equal second-order band-passes in a row (R. Bristow-Johnson, "Audio EQ Cookbook", constant 0 dB peak gain). */
function bandPass(
  x: Float32Array,
  start: number,
  length: number,
  lowHz: number,
  highHz: number,
  rateHz: number,
): Float32Array {
  const centreHz = Math.sqrt(lowHz * highHz)
  const w = (2 * Math.PI * centreHz) / rateHz
  const alpha = (Math.sin(w) * (highHz - lowHz)) / (2 * centreHz)
  const gain = alpha / (1 + alpha)
  const a1 = (-2 * Math.cos(w)) / (1 + alpha)
  const a2 = (1 - alpha) / (1 + alpha)
  const y = new Float32Array(length)
  let [p1, p2, q1, q2, r1, r2] = [0, 0, 0, 0, 0, 0]
  for (let i = 0; i < length; i++) {
    const p = x[start + i] ?? 0
    const q = gain * (p - p2) - a1 * q1 - a2 * q2
    const r = gain * (q - q2) - a1 * r1 - a2 * r2
    p2 = p1
    p1 = p
    q2 = q1
    q1 = q
    r2 = r1
    r1 = r
    y[i] = r
  }
  return y
}

/** Mean size of the mixed band in each step, without its mean. */
function envelope(bands: readonly Float32Array[], mix: Mix, step: number, points: number): Float64Array {
  const used = bands.map((x, c) => ({ x, weight: mix[c]! })).filter(({ weight }) => weight !== 0)
  const out = new Float64Array(points)
  const [a, b] = used
  for (let k = 0, i = 0; k < points; k++) {
    let sum = 0
    for (const end = i + step; i < end; i++) {
      let y = a!.weight * a!.x[i]!
      if (b !== undefined) y += b.weight * b.x[i]!
      sum += Math.abs(y)
    }
    out[k] = sum
  }
  const mean = out.reduce((s, v) => s + v, 0) / points
  return out.map((v) => v - mean)
}

/** @returns a function from an envelope to its autocorrelation, normalised to 1 at lag 0 and freed of the overlap's taper */
function makeCorrelator(points: number): (x: Float64Array) => Float64Array {
  const size = 2 ** Math.ceil(Math.log2(2 * points))
  const fft = new FFT(size)
  const input = new Array<number>(size).fill(0)
  const spectrum = fft.createComplexArray()
  const back = fft.createComplexArray()
  return (x) => {
    for (let i = 0; i < points; i++) input[i] = x[i]!
    fft.realTransform(spectrum, input)
    fft.completeSpectrum(spectrum)
    for (let i = 0; i < spectrum.length; i += 2) {
      spectrum[i] = spectrum[i] ** 2 + spectrum[i + 1] ** 2
      spectrum[i + 1] = 0
    }
    fft.inverseTransform(back, spectrum)
    const r = new Float64Array(points)
    if (!(back[0] > 0)) return r
    for (let k = 0; k < points; k++) r[k] = ((back[2 * k] / back[0]) * points) / (points - k)
    return r
  }
}

/** The largest comb of peaks and troughs over all periods. */
function pulsation(r: Float64Array, rateHz: number): number {
  const first = Math.ceil(MIN_PERIOD_S * rateHz)
  const last = Math.floor(Math.min(MAX_PERIOD_S * rateHz, (r.length - 1) / 2.5))
  let best = -1
  for (let lag = first; lag <= last; lag++) {
    const comb = r[lag]! - r[Math.round(lag / 2)]! + r[2 * lag]! - r[Math.round(1.5 * lag)]!
    if (comb > 2 * best) best = comb / 2
  }
  return r[0] === 0 ? 0 : Math.max(-1, best)
}
