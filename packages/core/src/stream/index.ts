import { analyze, conclude, hear } from '../analyze.js'
import { choiceNote, listenToPiece, toRecording } from '../decode/downmix.js'
import type { DecodedAudio, DecodeNote, Recording } from '../decode/types.js'
import { InputError } from '../errors.js'
import type { Analysis, AnalyzeOptions } from '../types.js'
import { soundBuffer } from './buffer.js'
import { OVERLAP_S, PIECE_S, WHOLE_S } from './constants.js'
import { joinPieces, type Piece } from './join.js'

/**
 * The whole way from decoded sound of any length to a score, in bounded memory.
 *
 * Up to two minutes are put together and go through {@link analyze} as they are. Longer sound is listened to in pieces
 * of a minute that overlap by five on either side, and joined turn by turn; a note says so. Its analysis
 * has no samples in `recording`, so loudness (`sameGain`) cannot be compared.
 *
 * @param blocks decoded sound, block after block without gaps, of one rate and number of channels; notes may come with any
 * @throws {InputError} and {OptionError} as {@link toRecording} and {@link analyze}
 * @example
 * const audio = decodeWav(readFileSync('cruise-needle-clip-2.wav'))
 * const { score } = await analyzeStream([audio])
 * score.steady.value // 0.44
 */
export async function analyzeStream(
  blocks: Iterable<DecodedAudio> | AsyncIterable<DecodedAudio>,
  options: AnalyzeOptions = {},
): Promise<Analysis> {
  let listener: Listener | undefined
  const notes: DecodeNote[] = []
  for await (const block of blocks) {
    notes.push(...block.notes)
    if (!block.channels[0]?.length) continue
    listener ??= listen(block, options)
    listener.take(block)
  }
  if (!listener) throw new InputError('no-samples', 'the recording holds no sound', 'record the clip again')
  return listener.end(notes)
}

interface Listener {
  take(audio: DecodedAudio): void
  end(notes: readonly DecodeNote[]): Analysis
}

function listen({ rateHz, channels }: DecodedAudio, options: AnalyzeOptions): Listener {
  const buffer = soundBuffer(rateHz, channels.length, Math.round((PIECE_S + 4 * OVERLAP_S) * rateHz))
  const pieces: Piece[] = []
  const names: string[] = []
  const at = (timeS: number): number => Math.round(timeS * rateHz)
  const listenTo = (fromS: number, toS: number, startS: number, end: number): void => {
    const { samples, name } = listenToPiece(buffer.view(at(startS), end), rateHz, names.at(-1) ?? null)
    if (name !== null && name !== names.at(-1)) names.push(name)
    pieces.push(shifted(hear({ samples, rateHz, notes: [] }, options), startS, fromS, toS))
    buffer.drop(at(toS - OVERLAP_S))
  }
  const nextS = (): number => pieces.at(-1)?.toS ?? 0
  const startOf = (fromS: number): number => Math.max(0, fromS - OVERLAP_S)
  return {
    take(audio) {
      buffer.add(audio)
      if (pieces.length === 0 && buffer.end() <= at(WHOLE_S)) return
      // What is left over at the end is never shorter than an overlap.
      for (let fromS = nextS(); buffer.end() >= at(fromS + PIECE_S + 2 * OVERLAP_S); fromS = nextS())
        listenTo(fromS, fromS + PIECE_S, startOf(fromS), at(fromS + PIECE_S + OVERLAP_S))
    },
    end(notes) {
      const durationS = buffer.end() / rateHz
      if (pieces.length === 0) {
        const whole = { channels: buffer.view(0, buffer.end()), rateHz, notes }
        return analyze(toRecording(whole), options)
      }
      listenTo(nextS(), durationS, startOf(nextS()), buffer.end())
      buffer.drop(buffer.end())
      const recording: Recording = { samples: new Float32Array(), rateHz, notes: [...notes, ...told()] }
      return conclude(joinPieces(pieces, durationS), recording)
    },
  }

  function told(): DecodeNote[] {
    const [only, ...others] = names
    const message = `Longer than ${WHOLE_S / 60} minutes: listened to in pieces of ${PIECE_S} seconds, joined turn by turn.`
    const inPieces = { code: 'in-pieces', message } as const
    if (only === undefined) return [inPieces]
    const named = others.length === 0 ? only : 'by turns the one that pulses best'
    return [choiceNote(channels.length, named), inPieces]
  }
}

/** Counts the times of a piece from the start of the recording. */
function shifted(heard: ReturnType<typeof hear>, byS: number, fromS: number, toS: number): Piece {
  const { speed, revolutions } = heard
  const later = (timeS: Float64Array): Float64Array => timeS.map((t) => t + byS)
  return {
    ...heard,
    fromS,
    toS,
    speed: {
      ...speed,
      timeS: later(speed.timeS),
      stretches: speed.stretches.map((s) => ({ ...s, startS: s.startS + byS, endS: s.endS + byS })),
    },
    revolutions: { ...revolutions, timeS: later(revolutions.timeS) },
  }
}
