import type { Arena } from './arena.js'
import { encloseFrames, type Frames, TILE } from './frames.js'
import { THEN, type Then } from './kernels/index.js'
import { type Depth, depthNamed, type Matrix, matrixNamed, placeDepth, placeMatrix } from './place.js'
import type { Weights } from './readWeights.js'

/** What layers write to on the way: the memory of one tile. */
export interface Bench {
  readonly arena: Arena
  /** Rounded rows and their scales. */
  readonly integers: number
  readonly scales: number
  /** Two tiles of floats. */
  readonly first: number
  readonly second: number
}

/** Room for tiles of rows up to `width` wide. */
export function takeBench(arena: Arena, width: number): Bench {
  const rows = 3 * TILE
  return {
    arena,
    integers: arena.take(2 * width * rows),
    scales: arena.take(4 * rows),
    first: arena.take(4 * width * rows),
    second: arena.take(4 * width * rows),
  }
}

/** Product of `rows` rows, `xStep` bytes apart, with a matrix; see the kernels for `then`. */
export function multiply(
  { arena: { kernels }, integers, scales }: Bench,
  matrix: Matrix,
  x: number,
  xStep: number,
  rows: number,
  out: number,
  outStep = 32 * matrix.blocks,
  then: Then = THEN.nothing,
  plus = out,
): void {
  kernels.quantiseRows(x, xStep, matrix.width, rows, matrix.most, integers, scales)
  kernels.multiplyRows(
    integers,
    scales,
    matrix.width,
    rows,
    matrix.weights,
    matrix.scales,
    matrix.biases,
    matrix.blocks,
    then,
    plus,
    out,
    outStep,
  )
}

/** {@link multiply} of `count` rows that follow one another, tile by tile. */
export function multiplyTiles(
  bench: Bench,
  matrix: Matrix,
  x: number,
  xStep: number,
  count: number,
  out: number,
): void {
  for (let t = 0; t < count; t += TILE)
    multiply(bench, matrix, x + t * xStep, xStep, Math.min(TILE, count - t), out + t * 32 * matrix.blocks)
}

/**
 * Product of the first `count` frames with a matrix, handed on tile by tile.
 *
 * @param take finds the products of `rows` frames from frame `t` on at {@link Bench.first}
 */
export function multiplyFrames(
  bench: Bench,
  matrix: Matrix,
  frames: Frames,
  count: number,
  take: (t: number, rows: number) => void,
): void {
  const row = 4 * frames.channels
  for (let t = 0; t < count; t += TILE) {
    const rows = Math.min(TILE, count - t)
    multiply(bench, matrix, frames.at + t * row, row, rows, bench.first)
    take(t, rows)
  }
}

/** What one channel does over time, then what the channels do together, added to what came in. */
export interface Block {
  readonly depth: Depth
  readonly wide: Matrix
  readonly narrow: Matrix
}

/** Blocks `name.0`, `name.1` and so on. */
export function placeBlocks(arena: Arena, weights: Weights, name: string): readonly Block[] {
  const blocks: Block[] = []
  while (weights.layers.has(`${name}.${blocks.length}.depth`))
    blocks.push(placeBlock(arena, weights, `${name}.${blocks.length}`))
  return blocks
}

export function placeBlock(arena: Arena, weights: Weights, name: string): Block {
  return {
    depth: placeDepth(arena, depthNamed(weights, `${name}.depth`)),
    wide: placeMatrix(arena, matrixNamed(weights, `${name}.wide`)),
    narrow: placeMatrix(arena, matrixNamed(weights, `${name}.narrow`)),
  }
}

/**
 * Runs blocks one after the other; returns the frames, which each of them moved by a tile towards the front: what a tile becomes
 * takes the place of the tile before, which no frame to come looks at, and the frames need no second place.
 */
export function runBlocks(bench: Bench, blocks: readonly Block[], frames: Frames): Frames {
  return blocks.reduce((before, block) => runBlock(bench, block, before), frames)
}

function runBlock(bench: Bench, { depth, wide, narrow }: Block, frames: Frames): Frames {
  const { kernels } = bench.arena
  const { channels, count } = frames
  const row = 4 * channels
  for (let t = 0; t < count; t += TILE) {
    const rows = Math.min(TILE, count - t)
    const from = frames.at + t * row
    kernels.depthRows(
      from,
      channels,
      depth.taps,
      depth.dilation,
      rows,
      depth.weights,
      depth.biases,
      bench.first,
    )
    multiply(bench, wide, bench.first, row, rows, bench.second, 2 * row, THEN.hardSwish)
    multiply(bench, narrow, bench.second, 2 * row, rows, from - TILE * row, row, THEN.plus, from)
  }
  const moved = { ...frames, at: frames.at - TILE * row }
  encloseFrames(bench.arena, moved)
  return moved
}

/** Frames of the next coarser level, from as many finer ones each as the matrix is wide. */
export function runStrided(bench: Bench, matrix: Matrix, finer: Frames, coarser: Frames): Frames {
  multiplyTiles(bench, matrix, finer.at, 4 * finer.channels * matrix.stride, coarser.count, coarser.at)
  encloseFrames(bench.arena, coarser)
  return coarser
}

/** Adds every frame of a coarser level, times a matrix, to four finer ones. */
export function addHeld(bench: Bench, matrix: Matrix, coarser: Frames, finer: Frames): void {
  const { floats } = bench.arena.kernels
  const { channels, at } = finer
  multiplyFrames(bench, matrix, coarser, coarser.count, (t, rows) => {
    holdRows(floats, bench.first >> 2, channels, rows, (at >> 2) + 4 * t * channels)
  })
}

/** Adds every row to four rows. */
function holdRows(floats: Float32Array, from: number, width: number, rows: number, to: number): void {
  for (let r = 0; r < 4 * rows; r++) {
    const row = from + (r >> 2) * width
    for (let c = 0; c < width; c++) floats[to + r * width + c]! += floats[row + c]!
  }
}
