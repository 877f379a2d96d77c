import { borrowKernels, type Kernels } from '../kernels/index.js'
import { type Layout, loadSamples, makeLayout } from '../kernels/layout.js'
import { type Band, INNER_RATE_HZ } from './constants.js'

/** Block of the overlap-save filter: 1.024 s; the middle half is kept, so filters may ring for 256 ms. */
const BLOCK = 16384
const HOP = BLOCK / 2
const MARGIN = BLOCK / 4
/** Blocks that are transformed side by side: two lanes, two real blocks as one complex one. */
const AT_ONCE = 4

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
  const outs = wishes.map(
    ({ rateHz }) => new Float32Array(Math.ceil((samples.length * rateHz) / INNER_RATE_HZ)),
  )
  const layout = makeLayout()
  const makeSpectra = spectraTaker(layout)
  const makeBatches = inBatches(groupWishes(wishes, outs), layout)
  const kernels = borrowKernels(layout.total())
  const takeSpectra = makeSpectra(kernels)
  const batches = makeBatches(kernels)
  const end = samples.length - MARGIN
  for (let first = -MARGIN; first < end; first += AT_ONCE * HOP) {
    const spectra = takeSpectra(samples, first)
    spectra.forEach((spectrum, i) => {
      const start = first + i * HOP
      if (start < end) for (const take of batches) take(spectrum, start + MARGIN)
    })
  }
  return wishes.map(({ band, rateHz }, i) => ({ band, rateHz, values: outs[i]! }))
}

/** Transforms {@link AT_ONCE} blocks from sample `first` on; positions of their spectra, pairs of doubles. */
type TakeSpectra = (samples: Float32Array, first: number) => readonly number[]

function spectraTaker(layout: Layout): (kernels: Kernels) => TakeSpectra {
  const soundWords = BLOCK + (AT_ONCE - 1) * HOP
  const sound = layout.take(soundWords)
  const order = layout.take(BLOCK)
  const turns = layout.take(4 * BLOCK)
  const data = layout.take(8 * BLOCK)
  const step = 2 * BLOCK
  const spectra = layout.take(AT_ONCE * step)
  const places = Array.from({ length: AT_ONCE }, (_, i) => spectra + i * step)
  return (kernels) => {
    const { floats, ints, doubles } = kernels
    for (let j = 0; j < BLOCK; j++) {
      ints[order + j] = reversedBits(j, BLOCK)
      doubles[turns / 2 + 2 * j] = Math.cos((2 * Math.PI * j) / BLOCK)
      doubles[turns / 2 + 2 * j + 1] = Math.sin((2 * Math.PI * j) / BLOCK)
    }
    return (samples, first) => {
      loadSamples(floats, sound, samples, first, soundWords)
      kernels.loadBlocks(sound, HOP, order, BLOCK, data)
      kernels.twoTransforms(data, BLOCK, turns, BLOCK)
      kernels.splitSpectra(data, BLOCK, spectra, step)
      return places
    }
  }
}

/** A band and all that is read from it. */
interface Group {
  readonly band: Band
  /** Rate that holds what every reader needs. */
  readonly rateHz: number
  readonly readers: Reader[]
}

/** Where a wish is written, its rate, and the rate of the samples it is the mean of. */
interface Reader {
  readonly out: Float32Array
  readonly rateHz: number
  readonly ownRateHz: number
}

/** Wishes for one band at several rates share a transform. */
function groupWishes(wishes: readonly BandWish[], outs: readonly Float32Array[]): Group[] {
  const groups: Group[] = []
  wishes.forEach(({ band, rateHz }, i) => {
    // An envelope is taken at a rate that holds the whole band, then averaged down.
    let ownRateHz = rateHz
    if (band.form === 'envelope') while (ownRateHz < 1.5 * (band.highHz - band.lowHz)) ownRateHz *= 2
    const reader = { out: outs[i]!, rateHz, ownRateHz }
    const place = groups.findIndex((g) => sameBand(g.band, band))
    const group = groups[place]
    if (!group) groups.push({ band, rateHz: ownRateHz, readers: [reader] })
    else
      groups[place] = {
        ...group,
        rateHz: Math.max(group.rateHz, ownRateHz),
        readers: [...group.readers, reader],
      }
  })
  return groups
}

function sameBand(a: Band, b: Band): boolean {
  return a.lowHz === b.lowHz && a.highHz === b.highHz && a.form === b.form
}

/** Takes one batch's share of a block with this spectrum; what is kept begins at sample `keepFrom`. */
type Take = (spectrum: number, keepFrom: number) => void

/** Places in the memory of the kernels that the batches use one after the other. */
interface Space {
  /** Four bands side by side. */
  readonly data: number
  /** `turnCount` angles of the transforms. */
  readonly turns: number
  readonly turnCount: number
  /** What is kept of one band. */
  readonly kept: number
}

/**
 * Inverse transforms four at a time, at the rate of the fastest of the four: a slower one gains nothing and loses nothing.
 *
 * @param layout memory is taken from it now and used once the kernels are there
 * @returns what makes the batches, given the kernels
 */
function inBatches(groups: readonly Group[], layout: Layout): (kernels: Kernels) => Take[] {
  const sorted = [...groups].sort((a, b) => b.rateHz - a.rateHz)
  const turnCount = Math.max(1, ...groups.map((g) => (BLOCK * g.rateHz) / INNER_RATE_HZ))
  const data = layout.take(8 * turnCount)
  const turns = layout.take(2 * turnCount)
  const kept = layout.take(turnCount)
  const makers: ((kernels: Kernels, space: Space) => Take)[] = []
  for (let first = 0; first < sorted.length; first += 4)
    makers.push(batch(sorted.slice(first, first + 4), layout))
  return (kernels) => {
    for (let j = 0; j < turnCount; j++) {
      kernels.floats[turns + 2 * j] = Math.cos((2 * Math.PI * j) / turnCount)
      kernels.floats[turns + 2 * j + 1] = Math.sin((2 * Math.PI * j) / turnCount)
    }
    return makers.map((make) => make(kernels, { data, turns, turnCount, kept }))
  }
}

function batch(groups: readonly Group[], layout: Layout): (kernels: Kernels, space: Space) => Take {
  const innerRateHz = groups[0]!.rateHz
  const decimation = INNER_RATE_HZ / innerRateHz
  const size = BLOCK / decimation
  const lanes = groups.map(({ band, readers }) => {
    const { first, values } = bandGains(band)
    const gains = layout.take(2 * values.length)
    const places = layout.take(values.length)
    return { first, values, gains, places, readers, isWave: band.form === 'wave' }
  })
  return (kernels, { data, turns, turnCount, kept }) => {
    const { floats, ints, doubles } = kernels
    for (const { first, values, gains, places } of lanes)
      for (let i = 0; i < values.length; i++) {
        doubles[gains / 2 + i] = (values[i]! * 2) / BLOCK
        ints[places + i] = 8 * reversedBits((first + i) % size, size)
      }
    const from = data + (8 * MARGIN) / decimation
    return (spectrum, keepFrom) => {
      floats.fill(0, data, data + 8 * size)
      lanes.forEach(({ first, values, gains, places }, lane) => {
        kernels.scatterBand(spectrum, first, gains, places, values.length, data + lane)
      })
      kernels.fourTransforms(data, size, turns, turnCount)
      // Real parts are the waveforms; envelopes take the place of the imaginary parts.
      if (lanes.some(({ isWave }) => !isWave)) kernels.rootMagnitudes(from, HOP / decimation)
      lanes.forEach(({ readers, isWave }, lane) => {
        for (const reader of readers)
          read(reader, kernels, from + lane + (isWave ? 0 : 4), innerRateHz, kept, keepFrom)
      })
    }
  }
}

/** Reads one block's kept samples, eight words apart from `at` on, by way of `buffer`. */
function read(
  { out, rateHz, ownRateHz }: Reader,
  kernels: Kernels,
  at: number,
  innerRateHz: number,
  buffer: number,
  keepFrom: number,
): void {
  const stride = 8 * (innerRateHz / rateHz)
  const step = 8 * (innerRateHz / ownRateHz)
  const decimation = INNER_RATE_HZ / rateHz
  const first = keepFrom / decimation
  const count = Math.min(HOP / decimation, out.length - first)
  kernels.readLane(at, stride, ownRateHz / rateHz, step, count, buffer)
  out.set(kernels.floats.subarray(buffer, buffer + count), first)
}

/** Place of `k` < `size`, a power of two, when its binary digits are read backwards. */
function reversedBits(k: number, size: number): number {
  let out = 0
  for (let bit = 1; bit < size; bit *= 2) out = 2 * out + (k & bit ? 1 : 0)
  return out
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
