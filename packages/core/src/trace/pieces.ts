import { SPEED_RATE_HZ } from '../crank/constants.js'
import { type Crank, makeTraceJoiner, readCrank, sliceTrace, type Trace, traceSpeed } from '../crank/index.js'
import { EAR_RATE_HZ } from '../ear/constants.js'
import type { Ear } from '../ear/types.js'
import { bandLevel } from '../labels/level.js'
import { withRhythm } from '../labels/rhythm.js'
import { OVERLAP_S, PIECE_S } from './constants.js'

/** A piece of sound: what it is there for, and what it hears of its neighbours. */
export interface Piece {
  readonly fromS: number
  readonly toS: number
  readonly startS: number
  readonly endS: number
}

/**
 * The piece that begins at a time, once enough of what follows is there; null while it is not.
 *
 * @param atS length of the sound so far, seconds
 */
export function wholePiece(fromS: number, atS: number): Piece | null {
  const toS = fromS + PIECE_S
  // What is left over at the end is never shorter than two overlaps.
  return atS >= toS + 2 * OVERLAP_S ? { ...lastPiece(fromS, toS), endS: toS + OVERLAP_S } : null
}

/** The piece from a time to the end of the sound. */
export function lastPiece(fromS: number, endS: number): Piece {
  return { fromS, toS: endS, startS: Math.max(0, fromS - OVERLAP_S), endS }
}

/** What the ear said along the crank speed, and the crank as read from it. */
export interface Traced {
  readonly trace: Trace
  readonly crank: Crank
}

/**
 * Listens to a piece, reads the crank speed along it, and judges its turns by their neighbours.
 *
 * @param sound at 16,000 Hz, from `startS` to `endS`
 * @returns the trace of all of it, of which `ownTrace` takes what the piece is there for
 */
export function tracePiece(
  ear: Ear,
  sound: Float32Array,
  piece: Piece,
  expectHz?: readonly [number, number],
): Traced {
  const heard = ear.listen(sound, piece.startS)
  const trace = traceSpeed(heard, bandLevel(sound))
  const crank = readCrank(trace, expectHz)
  return { trace: withRhythm(ear, trace, crank.turns, ear.hearTurns(sound, heard.fired)), crank }
}

/** The part of a piece's trace that is not its neighbours'. */
export function ownTrace(trace: Trace, { fromS, toS, startS, endS }: Piece): Trace {
  const frame = (timeS: number): number => Math.round((timeS - startS) * SPEED_RATE_HZ)
  return sliceTrace(trace, frame(fromS), toS === endS ? trace.bin.length : frame(toS))
}

/** Traces sound of any length, in pieces. @param sound at 16,000 Hz */
export function traceSound(ear: Ear, sound: Float32Array, expectHz?: readonly [number, number]): Traced {
  const durationS = sound.length / EAR_RATE_HZ
  let piece = wholePiece(0, durationS)
  if (!piece) return tracePiece(ear, sound, lastPiece(0, durationS), expectHz)
  const joiner = makeTraceJoiner()
  const add = (piece: Piece): void => {
    const part = sound.subarray(Math.round(piece.startS * EAR_RATE_HZ), Math.round(piece.endS * EAR_RATE_HZ))
    joiner.add(ownTrace(tracePiece(ear, part, piece, expectHz).trace, piece))
  }
  let fromS = 0
  for (; piece; piece = wholePiece(fromS, durationS)) {
    add(piece)
    fromS = piece.toS
  }
  add(lastPiece(fromS, durationS))
  const trace = joiner.joined()
  return { trace, crank: readCrank(trace, expectHz) }
}
