import type { Arena } from './arena.js'
import { encloseFrames, takeFrames } from './frames.js'
import { type Bench, type Block, multiplyFrames, multiplyTiles, placeBlocks, runBlocks } from './layers.js'
import { type Matrix, matrixNamed, placeMatrix } from './place.js'
import type { Weights } from './readWeights.js'
import { FEATURES, makeRetelling, type TurnFeatures } from './turnFeatures.js'

/** The part of the network that goes from turn to turn: it knows the rhythm. */
export interface TurnReader {
  readonly enter: Matrix
  readonly blocks: readonly Block[]
  readonly out: Matrix
}

export function placeTurnReader(arena: Arena, weights: Weights): TurnReader {
  const matrix = (name: string) => placeMatrix(arena, matrixNamed(weights, `turns.${name}`))
  return { enter: matrix('enter'), blocks: placeBlocks(arena, weights, 'turns.blocks'), out: matrix('out') }
}

/**
 * How often a run is read, each time knowing what the last reading said. Chosen on clips of the training simulator kept
 * apart: 0.249, 0.233, 0.233 and 0.233 nats with one to four.
 */
const READINGS = 3

/** Log-odds that each turn of a run fired. */
export function readTurns(bench: Bench, reader: TurnReader, features: TurnFeatures): Float32Array {
  const mark = bench.arena.used()
  const retell = makeRetelling(bench.arena, features)
  let logits = readOnce(bench, reader, features.rows)
  for (let n = 1; n < READINGS; n++) logits = readOnce(bench, reader, retell(logits))
  bench.arena.release(mark)
  return logits
}

/** @param features {@link FEATURES} numbers a turn */
function readOnce(bench: Bench, { enter, blocks, out }: TurnReader, features: Float32Array): Float32Array {
  const { arena } = bench
  const mark = arena.used()
  const turns = features.length / FEATURES
  const told = arena.take(4 * FEATURES * (turns + 3))
  arena.kernels.floats.set(features, told >> 2)
  const frames = takeFrames(arena, enter.outputs, turns, blocks.length)
  multiplyTiles(bench, enter, told, 4 * FEATURES, turns, frames.at)
  encloseFrames(arena, frames)
  const judged = runBlocks(bench, blocks, frames)
  const fired = new Float32Array(turns)
  multiplyFrames(bench, out, judged, turns, (t, rows) => {
    for (let r = 0; r < rows; r++)
      fired[t + r] = arena.kernels.floats[(bench.first >> 2) + 8 * out.blocks * r]!
  })
  arena.release(mark)
  return fired
}
