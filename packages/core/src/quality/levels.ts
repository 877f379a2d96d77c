import { CHUNK, surveySound } from '../math/survey.js'

/** What single samples say of a recording. */
export interface Levels {
  /** Root mean square and peak, dB re full scale; −120 at the lowest. */
  readonly levelDbfs: number
  readonly peakDbfs: number
  /** Share of samples in flat tops, 0–1. */
  readonly clippedRatio: number
}

/** Lowest level told, dB re full scale: below the last bit of 16-bit sound. Chosen. */
export const FLOOR_DBFS = -120

/** Most samples looked at; longer recordings are sampled in even blocks. Keeps the time bounded. Chosen. */
const MAX_SAMPLES = 2_000_000
const BLOCK_SAMPLES = 16_384

/** Samples in a row at exactly the same height near the peak that make a flat top. Chosen: chance gives two. */
const FLAT_SAMPLES = 3
/** How close to the peak a flat top lies, as a share of it. Chosen: cutting happens at the peak. */
const FLAT_FROM = 0.98

/** From here on a sample counts as at full scale, linear. Chosen: sound made as loud as it will go has very few. */
const FULL_SCALE = 0.985

/** Bins of the histogram of heights, over the upper `HISTOGRAM_SHARE` of the range. Chosen on cut sound after codecs. */
const HISTOGRAM_BINS = 25
const HISTOGRAM_SHARE = 0.5
/** A bulge rises by this share over the lowest bin before it, and by this many samples, on both sides alike. Chosen likewise. */
const BULGE_RISE = 0.25
const BULGE_SAMPLES = 60
const BULGE_BINS_APART = 1

/** Level, peak and clipping of the samples; a recording of zeros has the floor for both levels. */
export function measureLevels(samples: Float32Array): Levels {
  const blocks = blocksOf(samples.length).map(([from, to]) => {
    const block = samples.subarray(from, to)
    return { block, ...surveySound(block) }
  })
  const count = blocks.reduce((sum, { block }) => sum + block.length, 0)
  const peak = blocks.reduce((most, { low, high }) => Math.max(most, -low, high), 0)
  const power = blocks.reduce((sum, { block, meanSquare }) => sum + block.length * meanSquare, 0)
  return {
    levelDbfs: count > 0 ? toDbfs(Math.sqrt(power / count)) : FLOOR_DBFS,
    peakDbfs: toDbfs(peak),
    clippedRatio: peak > 0 ? clippedShare(blocks, peak, count) : 0,
  }
}

/** Linear amplitude to dB re full scale, not below the floor. */
function toDbfs(amplitude: number): number {
  return amplitude > 0 ? Math.max(FLOOR_DBFS, 20 * Math.log10(amplitude)) : FLOOR_DBFS
}

function blocksOf(n: number): [number, number][] {
  if (n <= MAX_SAMPLES) return [[0, n]]
  const blocks = Math.floor(MAX_SAMPLES / BLOCK_SAMPLES)
  return Array.from({ length: blocks }, (_, k) => {
    const from = Math.round((k / (blocks - 1)) * (n - BLOCK_SAMPLES))
    return [from, from + BLOCK_SAMPLES]
  })
}

/**
 * Share of samples in flat tops: the largest of three. Exact flats (sound as it was cut); samples at or beyond full
 * scale, and a bulge of the histogram of heights (cut sound that went through a codec, which rounds the flats off and
 * overshoots). The latter two must show alike above and below zero: the pulses of a regular engine peak on one side.
 */
function clippedShare(
  blocks: readonly { readonly block: Float32Array; readonly peaks: Float32Array }[],
  peak: number,
  count: number,
): number {
  const above = new Uint32Array(HISTOGRAM_BINS)
  const below = new Uint32Array(HISTOGRAM_BINS)
  const lowest = (1 - HISTOGRAM_SHARE) * peak
  const scale = HISTOGRAM_BINS / (peak - lowest)
  let flat = 0
  const full = [0, 0]
  for (const { block, peaks } of blocks) {
    let run = 0
    for (let i = 0; i < block.length; i++) {
      if (i % CHUNK === 0 && peaks[i / CHUNK]! < lowest) {
        run = 0
        i += CHUNK - 1
        continue
      }
      const sample = block[i]!
      const height = Math.abs(sample)
      if (height < lowest) {
        run = 0
        continue
      }
      const bin = Math.min(HISTOGRAM_BINS - 1, Math.floor((height - lowest) * scale))
      if (sample > 0) above[bin]!++
      else below[bin]!++
      if (height >= FULL_SCALE) full[sample > 0 ? 1 : 0]!++
      run = height >= FLAT_FROM * peak ? (i > 0 && sample === block[i - 1] ? run + 1 : 1) : 0
      if (run === FLAT_SAMPLES) flat += FLAT_SAMPLES
      else if (run > FLAT_SAMPLES) flat++
    }
  }
  const [up, down] = [findBulge(above), findBulge(below)]
  const cut = up && down && Math.abs(up.bin - down.bin) <= BULGE_BINS_APART
  return Math.max(flat, 2 * Math.min(...full), cut ? up.samples + down.samples : 0) / count
}

/** Largest rise over the lowest bin before it, in a histogram that should fall; null without one worth counting. */
function findBulge(histogram: Uint32Array): { readonly bin: number; readonly samples: number } | null {
  let lowest = 0
  let found: { bin: number; samples: number } | null = null
  let height = 0
  for (let bin = 1; bin < histogram.length; bin++) {
    const rise = histogram[bin]! - histogram[lowest]!
    if (rise <= 0) lowest = bin
    if (rise <= height || rise < BULGE_SAMPLES || rise < BULGE_RISE * histogram[lowest]!) continue
    const floor = histogram[lowest]!
    height = rise
    found = { bin, samples: histogram.subarray(lowest).reduce((sum, n) => sum + Math.max(0, n - floor), 0) }
  }
  return found
}
