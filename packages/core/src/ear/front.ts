import type { Arena } from './arena.js'
import { encloseFrames, type Frames, TILE } from './frames.js'
import { type Bench, multiply } from './layers.js'
import { type Levelled, measureLevel } from './levelled.js'
import { type Matrix, matrixNamed, placeMatrix } from './place.js'
import type { LevelSettings, Weights } from './readWeights.js'

/** The first layers: levelled sound, a bank of filters, waveforms and energies, and what is mixed from these. */
export interface Front {
  readonly level: LevelSettings
  readonly bank: Matrix
  readonly mix: Matrix
  /** Outputs of the bank that stay waveforms, and those that become energies in pairs. */
  readonly signed: number
  readonly energies: number
}

export function placeFront(arena: Arena, weights: Weights): Front {
  const bank = placeMatrix(arena, matrixNamed(weights, 'bank'))
  const mix = placeMatrix(arena, matrixNamed(weights, 'mix'))
  const heard = mix.width / mix.taps
  const energies = bank.outputs - heard
  return { level: weights.level, bank, mix, signed: heard - energies, energies }
}

/**
 * Hears samples: fills the finest frames.
 *
 * @param samples at most as many as the frames last; silence follows
 */
export function runFront(bench: Bench, front: Front, samples: Float32Array, frames: Frames): void {
  const { arena } = bench
  const mark = arena.used()
  const length = frames.count * front.bank.stride * front.mix.stride
  const levelled = measureLevel(arena, front.level, samples, length)
  const tile = takeTile(arena, front)
  const row = 4 * frames.channels
  for (let t = 0; t < frames.count; t += TILE) {
    hearBank(bench, front, levelled, tile, t * front.mix.stride - front.mix.pad)
    const step = (front.mix.width / front.mix.taps) * front.mix.stride * 4
    multiply(bench, front.mix, tile.heard, step, Math.min(TILE, frames.count - t), frames.at + t * row)
  }
  encloseFrames(arena, frames)
  arena.release(mark)
}

/** Memory of one tile of {@link hearBank}: frames of the bank, and what becomes of them. */
interface FrontTile {
  readonly rows: number
  readonly samples: number
  readonly pairs: number
  readonly bank: number
  readonly heard: number
}

function takeTile(arena: Arena, { bank, mix }: Front): FrontTile {
  const rows = ((TILE - 1) * mix.stride + mix.taps + 3) & -4
  const samples = (rows - 1) * bank.stride + bank.taps
  return {
    rows,
    samples,
    pairs: arena.take(8 * samples),
    bank: arena.take(rows * 32 * bank.blocks),
    heard: arena.take(rows * 4 * (mix.width / mix.taps)),
  }
}

/** Waveforms and energies of the bank's frames from `first` on; zeros where there is no sound. */
function hearBank(
  bench: Bench,
  { level, bank, signed, energies }: Front,
  { length, sound, plain, sharp }: Levelled,
  tile: FrontTile,
  first: number,
): void {
  const { kernels } = bench.arena
  const from = first * bank.stride - bank.pad
  const [begin, end] = within(from, tile.samples, length)
  fillOutside(kernels.floats, tile.pairs, 2, tile.samples, begin, end)
  const { preemphasis, floor } = level
  kernels.levelPairs(
    sound,
    plain,
    sharp,
    preemphasis,
    floor,
    from + begin,
    end - begin,
    tile.pairs + 8 * begin,
  )
  multiply(bench, bank, tile.pairs, 8 * bank.stride, tile.rows, tile.bank)
  kernels.compressRows(tile.bank, tile.rows, signed, energies, tile.heard)
  const [beginRow, endRow] = within(first, tile.rows, length / bank.stride)
  fillOutside(kernels.floats, tile.heard, signed + energies, tile.rows, beginRow, endRow)
}

/** Which of `count` places from `from` on lie within 0 … length − 1: begin and end. */
function within(from: number, count: number, length: number): [number, number] {
  return [Math.max(0, -from), Math.max(0, Math.min(count, length - from))]
}

/** Zeros in the rows before `begin` and from `end` on. */
function fillOutside(
  floats: Float32Array,
  at: number,
  width: number,
  rows: number,
  begin: number,
  end: number,
): void {
  const start = at >> 2
  floats.fill(0, start, start + begin * width)
  floats.fill(0, start + end * width, start + rows * width)
}
