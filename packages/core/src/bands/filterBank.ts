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
  const outs = wishes.map(
    ({ rateHz }) => new Float32Array(Math.ceil((samples.length * rateHz) / INNER_RATE_HZ)),
  )
  const plans = groupWishes(wishes, outs).map(plan)
  for (let start = -MARGIN; start < samples.length - MARGIN; start += HOP) {
    const from = Math.max(0, start)
    const to = Math.min(samples.length, start + BLOCK)
    block.fill(0, 0, from - start)
    block.set(samples.subarray(from, to), from - start)
    block.fill(0, to - start)
    forward.realTransform(spectrum, block)
    for (const take of plans) take(spectrum, start + MARGIN)
  }
  return wishes.map(({ band, rateHz }, i) => ({ band, rateHz, values: outs[i]! }))
}

/** One inverse transform and all that is read from it. */
interface Group {
  readonly band: Band
  /** Rate of the inverse transform. */
  readonly innerRate: number
  readonly readers: Reader[]
}

/** Every `stride`-th inner sample, or the mean of as many as `average` from there on. */
interface Reader {
  readonly out: Float32Array
  readonly stride: number
  readonly average: number
}

/** Wishes for one envelope at several rates share a transform where it holds what each of them needs. */
function groupWishes(wishes: readonly BandWish[], outs: readonly Float32Array[]): Group[] {
  const groups: Group[] = []
  const fastestFirst = wishes
    .map((wish, i) => ({ ...wish, out: outs[i]! }))
    .sort((a, b) => b.rateHz - a.rateHz)
  for (const { band, rateHz, out } of fastestFirst) {
    const ownRate = innerRateOf(band, rateHz)
    const group = groups.find(
      (g) =>
        band.form === 'envelope' &&
        sameBand(g.band, band) &&
        (g.innerRate === ownRate || (ownRate === rateHz && g.innerRate % rateHz === 0)),
    )
    const innerRate = group?.innerRate ?? ownRate
    const stride = innerRate / rateHz
    const reader = { out, stride, average: ownRate / rateHz }
    if (group) group.readers.push(reader)
    else groups.push({ band, innerRate, readers: [reader] })
  }
  return groups
}

function sameBand(a: Band, b: Band): boolean {
  return a.lowHz === b.lowHz && a.highHz === b.highHz && a.form === b.form
}

/** An envelope is taken at a rate that holds the whole band, then averaged down. */
function innerRateOf(band: Band, rateHz: number): number {
  let innerRate = rateHz
  if (band.form === 'envelope') while (innerRate < 1.5 * (band.highHz - band.lowHz)) innerRate *= 2
  return innerRate
}

/** What takes one group's share of a block: its spectrum, and the first sample to be kept. */
function plan({ band, innerRate, readers }: Group): (spectrum: Float64Array, keepFrom: number) => void {
  const gains = bandGains(band)
  const decimation = INNER_RATE_HZ / innerRate
  const size = BLOCK / decimation
  const inverse = new FFT(size)
  const input = new Float64Array(2 * size)
  const output = new Float64Array(2 * size)
  const kept = new Float64Array(HOP / decimation)
  const margin = MARGIN / decimation
  const scaled = gains.values.map((gain) => (gain * 2) / decimation)
  return (spectrum, keepFrom) => {
    input.fill(0)
    for (let i = 0, slot = gains.first % size; i < scaled.length; i++) {
      const k = gains.first + i
      input[2 * slot] = input[2 * slot]! + spectrum[2 * k]! * scaled[i]!
      input[2 * slot + 1] = input[2 * slot + 1]! + spectrum[2 * k + 1]! * scaled[i]!
      if (++slot === size) slot = 0
    }
    inverse.inverseTransform(output, input)
    for (let i = 0, at = 2 * margin; i < kept.length; i++, at += 2) {
      const re = output[at]!
      const im = output[at + 1]!
      kept[i] = band.form === 'wave' ? re : Math.sqrt(Math.sqrt(re * re + im * im))
    }
    for (const reader of readers) read(reader, kept, keepFrom / decimation)
  }
}

function read({ out, stride, average }: Reader, kept: Float64Array, keepFrom: number): void {
  const first = keepFrom / stride
  const count = Math.min(kept.length / stride, out.length - first)
  for (let i = 0; i < count; i++) {
    let sum = 0
    for (let j = i * stride; j < i * stride + average; j++) sum += kept[j]!
    out[first + i] = sum / average
  }
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
