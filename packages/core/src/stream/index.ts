import { analyzeWith, conclude, expectedSpeeds, type HeardTurns, rangeHz } from '../analyze.js'
import { makeTraceJoiner, readCrank, type Trace } from '../crank/index.js'
import { choiceNote, listenToPiece, toRecording } from '../decode/downmix.js'
import type { DecodedAudio, DecodeNote, Recording } from '../decode/types.js'
import { checkRate } from '../decode/wavFormat.js'
import { EAR_RATE_HZ } from '../ear/constants.js'
import { shippedEar } from '../ear/model.js'
import { resample } from '../ear/resample.js'
import type { Ear } from '../ear/types.js'
import { InputError } from '../errors.js'
import { labelTurns } from '../labels/index.js'
import { surveySound } from '../math/survey.js'
import { pulseToNoiseDb } from '../quality/pulseToNoise.js'
import { recordingQuality } from '../quality/quality.js'
import { OVERLAP_S, PIECE_S } from '../trace/constants.js'
import { lastPiece, ownTrace, type Piece, tracePiece, wholePiece } from '../trace/pieces.js'
import type { Analysis, AnalyzeOptions } from '../types.js'
import { soundBuffer } from './buffer.js'
import { BLOCK_S, WHOLE_S } from './constants.js'
import { type HeardPiece, joinQualities } from './joinQualities.js'

/**
 * The whole way from decoded sound of any length to a score, in bounded memory.
 *
 * Up to two minutes are put together and go through {@link analyze} as they are. Of longer sound only what the ear says of it
 * is kept, piece by piece; a note says so. Its analysis has no samples in `recording`, so loudness (`sameGain`) cannot be
 * compared.
 *
 * @param blocks decoded sound, block after block without gaps, of one rate and number of channels; notes may come with any. A block's
 *   arrays may be used again for the next, but for one that is all there is by its `totalS`, which is not copied
 * @throws {InputError} and {OptionError} as {@link toRecording} and {@link analyze}, but that long silence is an answer (`unusable`)
 * @example
 * const audio = decodeWav(readFileSync('cruise-needle-clip-2.wav'))
 * const { score } = await analyzeStream([audio])
 * score.steady.value // 0.4
 */
export function analyzeStream(
  blocks: Iterable<DecodedAudio> | AsyncIterable<DecodedAudio>,
  options: AnalyzeOptions = {},
): Promise<Analysis> {
  return analyzeStreamWith(shippedEar(), blocks, options)
}

/** {@link analyzeStream} with another ear. */
export async function analyzeStreamWith(
  ear: Ear,
  blocks: Iterable<DecodedAudio> | AsyncIterable<DecodedAudio>,
  options: AnalyzeOptions = {},
): Promise<Analysis> {
  let listener: Listener | undefined
  const notes: DecodeNote[] = []
  for await (const block of blocks) {
    notes.push(...block.notes)
    if (!block.channels[0]?.length) continue
    listener ??= listen(ear, block, options)
    listener.take(block)
  }
  if (!listener) throw new InputError('no-samples', 'the recording holds no sound', 'record the clip again')
  return listener.end(notes)
}

interface Listener {
  take(audio: DecodedAudio): void
  end(notes: readonly DecodeNote[]): Analysis
}

function listen(ear: Ear, { rateHz, channels }: DecodedAudio, options: AnalyzeOptions): Listener {
  checkRate(rateHz)
  const at = (timeS: number): number => Math.round(timeS * rateHz)
  const buffer = soundBuffer(
    rateHz,
    channels.length,
    at(WHOLE_S + BLOCK_S),
    at(PIECE_S + 4 * OVERLAP_S + BLOCK_S),
  )
  const expectHz = rangeHz(options)
  const pieces: HeardPiece[] = []
  const joiner = makeTraceJoiner()
  const names: string[] = []
  let squares = 0
  const listenTo = (piece: Piece): void => {
    const { samples, name } = listenToPiece(
      buffer.view(at(piece.startS), at(piece.endS)),
      rateHz,
      names.at(-1) ?? null,
    )
    if (name !== null && name !== names.at(-1)) names.push(name)
    const sound = resample(samples, rateHz, EAR_RATE_HZ)
    const { trace, crank } = tracePiece(ear, sound, piece, expectHz)
    const { turns, speed } = crank
    const engineHeard = turns.startS.length > 0
    const context = { speed, engineHeard, pulseToNoiseDb: pulseToNoiseDb(sound, turns) }
    const quality = recordingQuality({ samples, rateHz, notes: [] }, context)
    pieces.push({ fromS: piece.fromS, toS: piece.toS, quality, engineHeard })
    joiner.add(ownTrace(trace, piece))
    squares += (piece.toS - piece.fromS) * surveySound(samples).meanSquare
    buffer.drop(at(piece.toS - OVERLAP_S))
  }
  const nextS = (): number => pieces.at(-1)?.toS ?? 0
  return {
    take(audio) {
      buffer.add(audio)
      if (pieces.length === 0 && buffer.end() <= at(WHOLE_S)) return
      for (let piece = next(); piece; piece = next()) listenTo(piece)
    },
    end(notes) {
      const durationS = buffer.end() / rateHz
      if (pieces.length === 0) {
        const whole = { channels: buffer.view(0, buffer.end()), rateHz, notes }
        return analyzeWith(ear, toRecording(whole), options)
      }
      listenTo(lastPiece(nextS(), durationS))
      buffer.drop(buffer.end())
      const recording: Recording = { samples: new Float32Array(), rateHz, notes: [...notes, ...told()] }
      const { crank, revolutions, expected } = readAll(joiner.joined())
      const heard: HeardTurns = {
        ear: ear.version,
        durationS,
        crank,
        revolutions,
        meanSquare: squares / durationS,
        expected,
        quality: joinQualities(pieces, crank.speed.stretches, durationS),
      }
      return conclude(heard, recording)
    },
  }

  /** The turns of all of it; the trace itself is let go of. */
  function readAll(trace: Trace): Pick<HeardTurns, 'crank' | 'revolutions' | 'expected'> {
    const crank = readCrank(trace, expectHz)
    return { crank, revolutions: labelTurns(crank, trace), expected: expectedSpeeds(trace, options) }
  }

  function next(): Piece | null {
    return wholePiece(nextS(), buffer.end() / rateHz)
  }

  function told(): DecodeNote[] {
    const [only, ...others] = names
    const message = `Longer than ${WHOLE_S / 60} minutes: listened to in pieces of about a minute.`
    const inPieces = { code: 'in-pieces', message } as const
    if (only === undefined) return [inPieces]
    const named = others.length === 0 ? only : 'by turns the one that pulses best'
    return [choiceNote(channels.length, named), inPieces]
  }
}
