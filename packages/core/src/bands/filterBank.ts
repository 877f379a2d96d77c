import FFT from 'fft.js'
import { type Band, INNER_RATE_HZ } from './constants.js'

/** Block of the overlap-save filter: 1.024 s; the middle half is kept, so filters may ring for 256 ms. */
const BLOCK = 16384
const HOP = BLOCK / 2
const MARGIN = BLOCK / 4

/** One band of sound as a waveform or as an envelope. */
export interface BandSignal {
  readonly band: Band
  readonly rateHz: number
  /** Length ceil(n · rateHz / 16,000). Envelopes are the square root of the analytic magnitude. */
  readonly values: Float32Array
}

/** What to extract: a band at a rate that divides 16 kHz by a power of two. */
export interface BandWish {
  readonly band: Band
  readonly rateHz: number
}

/**
 * Splits sound into bands by overlap-save in the frequency domain, each band at its own lower rate.
 *
 * Edges are raised cosines one sixth of the edge frequency wide to either side. A waveform is the real part of
 * the analytic band signal; an envelope is the square root of its magnitude, which tames a phone's levelling.
 *
 * @param samples linear, at 16 kHz
 * @param wishes  bands; a waveform band must end below half its rate
 * @returns one signal a wish, in the same order, time-aligned without delay
 */
export function splitBands(samples: Float32Array, wishes: readonly BandWish[]): BandSignal[] {
  const forward = new FFT(BLOCK)
  const block = new Float64Array(BLOCK)
  const spectrum = new Float64Array(2 * BLOCK)
  const plans = wishes.map((wish) => plan(wish, samples.length))
  for (let start = -MARGIN; start < samples.length - MARGIN; start += HOP) {
    for (let i = 0; i < BLOCK; i++) {
      const k = start + i
      block[i] = k >= 0 && k < samples.length ? samples[k]! : 0
    }
    forward.realTransform(spectrum, block)
    for (const p of plans) p.take(spectrum, start + MARGIN)
  }
  return plans.map((p) => ({ band: p.wish.band, rateHz: p.wish.rateHz, values: p.out }))
}

interface Plan {
  readonly wish: BandWish
  readonly out: Float32Array
  take(spectrum: Float64Array, keepFrom: number): void
}

function plan(wish: BandWish, length: number): Plan {
  const { band, rateHz } = wish
  const decimation = INNER_RATE_HZ / rateHz
  const out = new Float32Array(Math.ceil(length / decimation))
  const gains = bandGains(band)
  // An envelope is taken at a rate that holds the whole band, then averaged down.
  let innerRate = rateHz
  if (band.form === 'envelope') while (innerRate < 1.5 * (band.highHz - band.lowHz)) innerRate *= 2
  const innerDecimation = INNER_RATE_HZ / innerRate
  const size = BLOCK / innerDecimation
  const average = innerRate / rateHz
  const inverse = new FFT(size)
  const input = new Float64Array(2 * size)
  const output = new Float64Array(2 * size)
  const scale = 2 / innerDecimation
  const take = (spectrum: Float64Array, keepFrom: number): void => {
    input.fill(0)
    for (let k = gains.first; k < gains.first + gains.values.length; k++) {
      const slot = 2 * (k % size)
      const gain = gains.values[k - gains.first]! * scale
      input[slot] = input[slot]! + spectrum[2 * k]! * gain
      input[slot + 1] = input[slot + 1]! + spectrum[2 * k + 1]! * gain
    }
    inverse.inverseTransform(output, input)
    const firstOut = keepFrom / decimation
    const count = Math.min(HOP / decimation, out.length - firstOut)
    const marginInner = MARGIN / innerDecimation
    for (let i = 0; i < count; i++) {
      const at = marginInner + i * average
      if (band.form === 'wave') {
        out[firstOut + i] = output[2 * at]!
      } else {
        let sum = 0
        for (let j = 0; j < average; j++)
          sum += Math.sqrt(Math.hypot(output[2 * (at + j)]!, output[2 * (at + j) + 1]!))
        out[firstOut + i] = sum / average
      }
    }
  }
  return { wish, out, take }
}

function bandGains(band: Band): { first: number; values: Float64Array } {
  const binHz = INNER_RATE_HZ / BLOCK
  const lowWidth = Math.max(8, band.lowHz / 6)
  const highWidth = Math.max(8, Math.min(band.highHz / 6, INNER_RATE_HZ / 2 - band.highHz))
  const first = Math.max(1, Math.ceil((band.lowHz - lowWidth) / binHz))
  const last = Math.min(BLOCK / 2 - 1, Math.floor((band.highHz + highWidth) / binHz))
  const values = new Float64Array(last - first + 1)
  for (let k = first; k <= last; k++) {
    const hz = k * binHz
    values[k - first] = edge((hz - band.lowHz) / lowWidth) * edge((band.highHz - hz) / highWidth)
  }
  return { first, values }
}

/** Raised cosine: 0 at -1, one half at 0, 1 at +1. */
function edge(x: number): number {
  if (x <= -1) return 0
  if (x >= 1) return 1
  return 0.5 + 0.5 * Math.sin((Math.PI / 2) * x)
}
