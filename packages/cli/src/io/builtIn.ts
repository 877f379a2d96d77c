import { type DecodedAudio, InputError } from '@everyrev/core'
import { escapeControls } from '../render/escape.js'
import { MATROSKA_PIECE_BYTES, MAX_DECODED_PEAK } from './constants.js'
import { isCutOff, lacksIndex } from './cutOff.js'
import { noIndexError, noTrackError } from './ffmpeg.js'
import type { DecoderName } from './recognise.js'

/**
 * Decodes a clip without ffmpeg, and checks what comes out: audio-decode gives empty, short or wild samples for some
 * damaged files instead of an error.
 *
 * @param bytes the whole file
 * @throws {InputError} `no-samples` without an audio track; `unreadable` or `unsupported-format` otherwise
 */
export async function decodeBuiltIn(
  bytes: Uint8Array,
  decoder: DecoderName,
  timeoutS: number,
): Promise<DecodedAudio> {
  if (decoder === 'm4a' && lacksIndex(bytes)) throw noIndexError()
  const { decodeInWorker } = await import('./decodeWorker.js')
  const isMatroska = decoder === 'webm' || decoder === 'mkv'
  const pieceBytes = isMatroska ? MATROSKA_PIECE_BYTES : Infinity
  const answer = await decodeInWorker(bytes, decoder, pieceBytes, timeoutS)
  if ('error' in answer) throw explain(answer.error)
  const { channels, rateHz } = answer
  const frames = channels[0]?.length ?? 0
  if (frames === 0) {
    throw new InputError('unreadable', 'holds no sound that can be decoded', 'copy it from the phone again')
  }
  if (!channels.every(isTame)) {
    throw new InputError(
      'unreadable',
      'is damaged: decoding it gives no sound',
      'copy it from the phone again',
    )
  }
  const message = 'The file is cut off; what is there was read.'
  return { channels, rateHz, notes: isCutOff(bytes, decoder, frames) ? [{ code: 'truncated', message }] : [] }
}

function isTame(samples: Float32Array): boolean {
  for (let i = 0; i < samples.length; i++) if (!(Math.abs(samples[i]!) <= MAX_DECODED_PEAK)) return false
  return true
}

function explain(error: string): InputError {
  if (/no (\S+ )?audio track/i.test(error)) return noTrackError()
  const message = `cannot be decoded: ${escapeControls(error.slice(0, 120))}`
  return /unsupported|no decoder/i.test(error)
    ? new InputError('unsupported-format', message, 'install ffmpeg, which reads more formats')
    : new InputError('unreadable', message, 'copy it from the phone again')
}
