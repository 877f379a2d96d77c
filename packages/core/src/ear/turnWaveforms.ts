import { clamp } from '../math/stats.js'
import type { Arena } from './arena.js'
import { nearMeans, slopeAt } from './turnParts.js'

/** Parts of a turn that its waveform is taken in. Given by the model, as are all numbers of this file. */
export const POINTS = 64
/** Turns on either side that make the mean a turn is held against. */
const NEAR = 4
/** Turns on either side that a turn is compared with. */
export const REACH = 24
const LARGEST = 3

/** How like one another the turns of a run are. */
export interface Likeness {
  /** Correlation of every turn with each of the next {@link REACH}, turn by turn, −1 to 1; 0 beyond the last turn. */
  readonly ahead: Float32Array
  /** Sum of their sizes over the turns within {@link REACH} on either side, and mean of their squares, ends counting as 0. */
  readonly sum: Float32Array
  readonly square: Float32Array
  /** Decimal logarithm of the energy apart from the mean of the turns near by, as a share of the mean's. */
  readonly strength: Float32Array
  /** How much louder than that mean. */
  readonly gain: Float32Array
  /** How much of the mean's slope is in the turn. */
  readonly shift: Float32Array
}

/**
 * Compares the turns of a run by their waveforms.
 *
 * What a waveform has apart from the mean of the nine turns about it is correlated with that of the turns
 * ahead. Turns that alternate show minus at one turn and plus at two, every third plus at three.
 *
 * @param waveforms of the turns of a run, in {@link POINTS} parts each
 */
export function likenessOf(arena: Arena, waveforms: Float32Array): Likeness {
  const turns = waveforms.length / POINTS
  const alone = new Float32Array(waveforms.length)
  const [strength, gain, shift] = [0, 1, 2].map(() => new Float32Array(turns)) as Triple<Float32Array>
  const means = nearMeans(waveforms, POINTS, NEAR)
  for (let n = 0; n < turns; n++) {
    const first = n * POINTS
    let [energy, along, size, slope, steepness] = [1e-12, 0, 1e-12, 0, 1e-9]
    for (let p = 0; p < POINTS; p++) {
      const mean = means[first + p]!
      const value = waveforms[first + p]! - mean
      const rise = slopeAt(means, first, POINTS, p)
      alone[first + p] = value
      energy += value * value
      along += value * mean
      size += mean * mean
      slope += value * rise
      steepness += rise * rise
    }
    const root = Math.sqrt(energy)
    for (let p = first; p < first + POINTS; p++) alone[p]! /= root
    strength[n] = clamp(Math.log10(energy / size), -LARGEST, LARGEST)
    gain[n] = along / size
    shift[n] = clamp(slope / steepness, -LARGEST, LARGEST)
  }
  return { ...correlate(arena, alone), strength, gain, shift }
}

type Triple<T> = [T, T, T]

function correlate(arena: Arena, alone: Float32Array): Pick<Likeness, 'ahead' | 'sum' | 'square'> {
  const ahead = productsAhead(arena, alone)
  const turns = alone.length / POINTS
  const sum = new Float32Array(turns)
  const square = new Float32Array(turns)
  for (let n = 0; n < turns; n++)
    for (let lag = 1; lag <= REACH && n + lag < turns; lag++) {
      const likeness = ahead[n * REACH + lag - 1]!
      const size = Math.abs(likeness)
      const share = (likeness * likeness) / (2 * REACH)
      sum[n]! += size
      sum[n + lag]! += size
      square[n]! += share
      square[n + lag]! += share
    }
  return { ahead, sum, square }
}

/** Products of every row with each of the next {@link REACH}; rows of zeros follow the last. */
function productsAhead(arena: Arena, rows: Float32Array): Float32Array {
  const { kernels } = arena
  const mark = arena.used()
  const turns = rows.length / POINTS
  const from = arena.take(4 * (rows.length + REACH * POINTS))
  const to = arena.take(4 * turns * REACH)
  kernels.floats.set(rows, from >> 2)
  kernels.floats.fill(0, (from >> 2) + rows.length, (from >> 2) + rows.length + REACH * POINTS)
  kernels.multiplyAhead(from, POINTS, turns, REACH, to)
  const products = kernels.floats.slice(to >> 2, (to >> 2) + turns * REACH)
  arena.release(mark)
  return products
}
