import { TURN_BANDS } from '../bands/constants.js'
import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
import { dot } from '../math/dot.js'
import { mean, median, quantile, ramp } from '../math/stats.js'
import { hannSmooth } from '../turns/grid.js'
import type { RunTurns } from '../turns/index.js'
import { type ResidualBand, RMS_TURNS } from '../turns/vectors.js'
import { IDLE_VOTE } from './constants.js'
import type { TwoLevels } from './levels.js'
import { leadingSubspace, type PaddedMatrix, paddedMatrix } from './subspace.js'
import { twoClusters } from './twoClusters.js'
import { foldShare, turnWeight } from './windows.js'

/** Turns looked at together and turns between blocks: long against a window, so that noise averages out. */
const BLOCK_TURNS = 256
const BLOCK_HOP = 128
/** Turns on either side that are near: half a short state. */
const NEAR_TURNS = 10
/** Share of a block's turns that differ by less than usual. */
const USUAL_DEPTH = 0.8
/** Directions of turn-to-turn difference among which the two kinds are sought. */
const DIRECTIONS = 6
/**
 * Where evidence begins and where it is full: separation of the clusters in standard deviations, and the share of a band's
 * difference that lies along them as a multiple of chance, median of the bands. With a rhythm of two, three or four turns
 * less will do; without one it counts at idle only, where firings are rare. 98 of 100 blocks of clean running, made and
 * recorded, stay below 3.4 standard deviations, blocks with firm skipping reach 4 to 13; rattles and cars make clusters too,
 * but in few bands.
 */
const RHYTHMIC: Need = { separation: [3.4, 4.4], share: [2.5, 4.5] }
const FREE: Need = { separation: [4.2, 5], share: [8, 12] }
/** Share of the values that a rhythm explains: none, and one. */
const RHYTHM = [0.15, 0.35] as const

interface Need {
  readonly separation: readonly [number, number]
  readonly share: readonly [number, number]
}

/** What long blocks of a run say about the two kinds of turn; columns of length turns. */
export interface BlockKinds {
  /** About −1 for one kind and +1 for the other; 0 where nothing is known. */
  readonly values: Float64Array
  /** Spread of the values within a kind. */
  readonly spread: Float64Array
  /** 0–1: how far the two kinds stand apart beyond chance. */
  readonly trust: Float64Array
}

interface Block {
  readonly first: number
  readonly values: Float64Array
  readonly separation: number
  readonly belief: number
}

/**
 * Looks for two kinds of turn in blocks of {@link BLOCK_TURNS} turns: two Gaussian clusters with one covariance among the
 * leading directions of turn-to-turn difference. A weak difference that no window of 24 turns shows stands out here when
 * it stays the same, and so do rare firings.
 */
export function blockKinds({ residuals, startS }: Pick<RunTurns, 'residuals' | 'startS'>): BlockKinds {
  const { turns } = residuals[0]!
  const size = Math.min(BLOCK_TURNS, turns)
  const blocks: Block[] = []
  if (size < BLOCK_TURNS / 4) return joinBlocks(blocks, turns)
  const depths = residuals.map(depthOf)
  for (let first = 0; ; first += BLOCK_HOP) {
    const at = Math.min(first, turns - size)
    const bands = residuals.map((band, i) => blockBand(band, depths[i]!, at, size))
    const idle = ramp(size / (startS[at + size]! - startS[at]!), IDLE_VOTE.noneHz, IDLE_VOTE.fullHz)
    blocks.push({ first: at, ...oneBlock(bands, size, idle) })
    if (at + size >= turns) break
  }
  return joinBlocks(blocks, turns)
}

/** What a band's turns in a block do not have in common; rows of `points`. */
interface BlockBand {
  readonly points: number
  readonly values: Float32Array
}

/** How much a band's turns differ from their mean, as a share of it, along the run. */
function depthOf({ residualEnergy, meanEnergy }: ResidualBand): Float64Array {
  return hannSmooth(
    residualEnergy.map((rest, n) => rest / (meanEnergy[n]! + 1e-20)),
    RMS_TURNS,
  )
}

/** The levelled turns of a block, those that hardly differ from their neighbours made small again: even running is 0. */
function blockBand(
  { points, values }: ResidualBand,
  depth: Float64Array,
  first: number,
  size: number,
): BlockBand {
  const usual = quantile(depth.slice(first, first + size), USUAL_DEPTH)
  const out = values.slice(first * points, (first + size) * points)
  for (let i = 0; i < size; i++) {
    const gain = Math.min(1, Math.sqrt(depth[first + i]! / (usual + 1e-20)))
    for (let k = i * points; k < (i + 1) * points; k++) out[k] = gain * out[k]!
  }
  return { points, values: out }
}

function oneBlock(bands: readonly BlockBand[], size: number, idle: number): Omit<Block, 'first'> {
  const vectors = leadingSubspace(likeness(bands, size), DIRECTIONS)
  const { values, separation } = twoClusters(vectors)
  return { values, separation, belief: belief(bands, values, separation, idle) }
}

/** 0–1: that the clusters are kinds of turn; `idle` is 1 at idle speed, 0 above. */
function belief(bands: readonly BlockBand[], values: Float64Array, separation: number, idle: number): number {
  if (separation < RHYTHMIC.separation[0]) return 0
  const share = median(bands.map((band) => shareAlong(band, values)))
  const rhythm = ramp(Math.max(...[2, 3, 4].map((period) => foldShare(values, period))), ...RHYTHM)
  const met = (need: Need): number => ramp(separation, ...need.separation) * ramp(share, ...need.share)
  return Math.max(rhythm * met(RHYTHMIC), idle * met(FREE))
}

/** Share of a band's turn-to-turn difference that lies along a series of turns, as a multiple of what chance gives. */
function shareAlong({ points, values }: BlockBand, series: Float64Array): number {
  const average = mean(series)
  const sums = new Float64Array(points)
  let energy = 1e-20
  let length = 0
  for (let i = 0; i < series.length; i++) {
    const weight = series[i]! - average
    length += weight * weight
    for (let p = 0, k = i * points; p < points; p++, k++) {
      sums[p] = sums[p]! + weight * values[k]!
      energy += values[k]! * values[k]!
    }
  }
  const along = sums.reduce((sum, v) => sum + v * v, 0)
  return (along * series.length) / (length * energy)
}

/** Products of all turns of a block, summed over the bands by weight. */
function likeness(bands: readonly BlockBand[], size: number): PaddedMatrix {
  const out = paddedMatrix(size)
  const { step, values } = out
  const widest = Math.max(...bands.map((band) => band.points))
  const layout = makeLayout()
  const sound = layout.take(size * widest)
  const sums = layout.take(values.length)
  const kernels = borrowKernels(layout.total())
  const { floats } = kernels
  floats.fill(0, sums, sums + values.length)
  bands.forEach(({ points, values: turns }, band) => {
    floats.set(turns, sound)
    const scale = TURN_BANDS[band]!.weight / points
    for (let i = 0; i < size; i++) {
      const row = sound + i * points
      kernels.addDots(row, row, points, size - i, points, scale, sums + i * (step + 1))
    }
  })
  values.set(floats.subarray(sums, sums + values.length))
  for (let i = 0; i < size; i++) for (let j = 0; j < i; j++) values[i * step + j] = values[j * step + i]!
  return out
}

/** Joins overlapping blocks, each turned the way the ones before are; trust and nearness to the middle weigh. */
function joinBlocks(blocks: readonly Block[], turns: number): BlockKinds {
  const values = new Float64Array(turns)
  const spread = new Float64Array(turns)
  const believed = new Float64Array(turns)
  const near = new Float64Array(turns)
  for (const block of blocks) {
    const size = block.values.length
    const along = dot(block.values, values.subarray(block.first))
    const sign = along < 0 ? -1 : 1
    for (let i = 0; i < size; i++) {
      const n = block.first + i
      const weight = turnWeight(i, size) + 1e-6
      near[n] = near[n]! + weight
      believed[n] = believed[n]! + weight * block.belief
      values[n] = values[n]! + sign * weight * block.belief * block.values[i]!
      spread[n] = spread[n]! + (weight * block.belief * 2) / Math.max(1, block.separation)
    }
  }
  for (let n = 0; n < values.length; n++) {
    values[n] = believed[n]! > 0 ? values[n]! / believed[n]! : 0
    spread[n] = believed[n]! > 0 ? spread[n]! / believed[n]! : 1
  }
  const clear = clearTurns(values)
  return { values, spread, trust: believed.map((v, n) => (v > 0 ? (v / near[n]!) * clear[n]! : 0)) }
}

/** Distance from the middle, median of the turns around, of turns that the clusters do not describe, and of ones they do. */
const CLEAR = [0.5, 0.75] as const

/** 0–1, turn by turn: that the turns around are of either kind: at another speed the same turns look otherwise. */
function clearTurns(values: Float64Array): Float64Array {
  return values.map((_, n) => {
    const around = values.slice(Math.max(0, n - NEAR_TURNS), n + NEAR_TURNS + 1)
    return ramp(median(around.map(Math.abs)), ...CLEAR)
  })
}

/** Levels of the two kinds: those of the blocks as far as they are trusted, else those found near by. */
export function blockLevels(near: TwoLevels, trust: Float64Array, spread: Float64Array): TwoLevels {
  const mix = (own: number, n: number, of: Float64Array) => trust[n]! * own + (1 - trust[n]!) * of[n]!
  return {
    low: near.low.map((_, n) => mix(-1, n, near.low)),
    high: near.high.map((_, n) => mix(1, n, near.high)),
    spread: near.spread.map((_, n) => mix(spread[n]!, n, near.spread)),
  }
}

/** Turns of the rarer kind that are too few, and enough. */
const RARER_TURNS = [1, 2.5] as const
/** Values within which a turn may be of either kind. */
const BETWEEN = 0.4

/** 0–1, turn by turn: that turns of both kinds are near, and not only somewhere in the block. */
export function bothKindsNear(values: Float64Array): Float64Array {
  const high = values.map((v) => ramp(v, -BETWEEN, BETWEEN))
  return high.map((_, n) => {
    const from = Math.max(0, n - NEAR_TURNS)
    const near = high.subarray(from, n + NEAR_TURNS + 1)
    const highs = near.reduce((sum, v) => sum + v, 0)
    return ramp(Math.min(highs, near.length - highs), ...RARER_TURNS)
  })
}
