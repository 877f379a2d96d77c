import { makeArena } from './arena.js'
import { EAR_RATE_HZ, FRAME_RATE_HZ, SPEED_FRAMES } from './constants.js'
import { takeFrames } from './frames.js'
import { placeFront, runFront } from './front.js'
import { type Kernels, makeKernels } from './kernels/index.js'
import { addHeld, placeBlocks, runBlocks, runStrided, takeBench } from './layers.js'
import { readFine, readSpeed } from './outputs.js'
import { matrixNamed, placeMatrix } from './place.js'
import { readWeights } from './readWeights.js'
import { addRecurrent, placeRecurrent } from './recurrent.js'
import { shippedWeights } from './shippedWeights.js'
import { makeTurnListener } from './turnFeatures.js'
import { placeTurnReader, readTurns } from './turnReader.js'
import type { Ear, Heard } from './types.js'

let shipped: Ear | undefined

/** The ear that the library carries. */
export function shippedEar(): Ear {
  shipped ??= loadEar(shippedWeights())
  return shipped
}

/** Fine frames to a frame of the coarsest level: sound is filled up with silence to whole ones. Given by the model. */
const UNIT_FRAMES = 64

/**
 * An ear from a file of weights, as scripts/ear/export.py writes it.
 *
 * @throws {InputError} `unsupported-format` for anything else
 * @remarks Keeps about 2 MB, and from the first piece on about 0.3 MB for every second of the longest piece.
 */
export function loadEar(bytes: Uint8Array, kernels: Kernels = makeKernels()): Ear {
  const weights = readWeights(bytes)
  const arena = makeArena(kernels)
  const blocks = (name: string) => placeBlocks(arena, weights, name)
  const matrix = (name: string) => placeMatrix(arena, matrixNamed(weights, name))
  const front = placeFront(arena, weights)
  const [toTurn, toBeat, toLong] = [matrix('to_turn'), matrix('to_beat'), matrix('to_long')]
  const [fromLong, fromBeat, fromTurn] = [matrix('from_long'), matrix('from_beat'), matrix('from_turn')]
  const [fineIn, fineOut] = [blocks('fine_in'), blocks('fine_out')]
  const [turnIn, turnOut] = [blocks('turn_in'), blocks('turn_out')]
  const [beatIn, beatOut] = [blocks('beat_in'), blocks('beat_out')]
  const [longIn, longOut] = [blocks('long_in'), blocks('long_out')]
  const memory = placeRecurrent(arena, weights, 'memory')
  const [speed, out] = [matrix('speed'), matrix('out')]
  const turnReader = placeTurnReader(arena, weights)
  const widest = [...weights.layers.values()].map((l) =>
    l.kind === 'matrix' ? Math.max(l.width, l.outputs) : 0,
  )
  const bench = takeBench(arena, Math.max(...widest))
  const own = arena.used()

  return {
    version: weights.version,
    listen(samples, startS = 0): Heard {
      arena.release(own)
      const frames = Math.ceil((samples.length * FRAME_RATE_HZ) / EAR_RATE_HZ)
      const units = Math.ceil(frames / UNIT_FRAMES)
      let fine = takeFrames(arena, front.mix.outputs, 64 * units, fineIn.length + fineOut.length)
      let turn = takeFrames(arena, toTurn.outputs, 16 * units, turnIn.length + turnOut.length)
      let beat = takeFrames(arena, toBeat.outputs, 4 * units, beatIn.length + beatOut.length)
      let long = takeFrames(arena, toLong.outputs, units, longIn.length + longOut.length)

      runFront(bench, front, samples, fine)
      fine = runBlocks(bench, fineIn, fine)
      turn = runBlocks(bench, turnIn, runStrided(bench, toTurn, fine, turn))
      beat = runBlocks(bench, beatIn, runStrided(bench, toBeat, turn, beat))
      long = runBlocks(bench, longIn, runStrided(bench, toLong, beat, long))
      addRecurrent(bench, memory, long)
      long = runBlocks(bench, longOut, long)
      addHeld(bench, fromLong, long, beat)
      beat = runBlocks(bench, beatOut, beat)
      addHeld(bench, fromBeat, beat, turn)
      turn = runBlocks(bench, turnOut, turn)
      addHeld(bench, fromTurn, turn, fine)
      fine = runBlocks(bench, fineOut, fine)

      const heard = {
        startS,
        frames,
        speed: readSpeed(bench, speed, beat, Math.ceil(frames / SPEED_FRAMES)),
        ...readFine(bench, out, fine, frames),
      }
      arena.release(own)
      return heard
    },
    hearTurns(sound, firedLogit) {
      arena.release(own)
      return makeTurnListener(arena, weights.level, sound, firedLogit)
    },
    judgeTurns: (features) => readTurns(bench, turnReader, features),
  }
}
