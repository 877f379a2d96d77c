import { InputError } from '@everyrev/core/errors'
import type { DecodedAudio } from '@everyrev/core/hear'
import type { DecoderName } from '../clip/recognise.js'
import { escapeControls } from '../render/escape.js'
import { MATROSKA_PIECE_BYTES, MAX_DECODED_PEAK } from './constants.js'
import { isCutOff, lacksIndex } from './cutOff.js'
import { type DecodeLimits, decodeLimits } from './decodeLimits.js'
import type { Stopped } from './decodeWorker.js'
import { noIndexError, noTrackError } from './ffmpeg.js'
import { impossibleTable } from './mp4Tables.js'

/**
 * Decodes a clip without ffmpeg, and checks what comes out: audio-decode gives empty, short or wild samples for some
 * damaged files instead of an error.
 *
 * @param bytes    the whole file
 * @param memoryMb most memory it may take; see {@link decodeLimits}
 * @throws {InputError} `no-samples` without an audio track; `unreadable` or `unsupported-format` otherwise
 */
export async function decodeBuiltIn(
  bytes: Uint8Array,
  decoder: DecoderName,
  timeoutS: number,
  memoryMb?: number,
): Promise<DecodedAudio> {
  if (decoder === 'm4a' && lacksIndex(bytes)) throw noIndexError()
  if (decoder === 'm4a' && statedDurationS(bytes) > LONGEST_S) throw tooLongError()
  const table = decoder === 'm4a' ? impossibleTable(bytes) : null
  if (table !== null) throw impossibleError(table)
  const limits = decodeLimits(bytes.length, memoryMb)
  const { decodeInWorker } = await import('./decodeWorker.js')
  const isMatroska = decoder === 'webm' || decoder === 'mkv'
  const pieceBytes = isMatroska ? MATROSKA_PIECE_BYTES : Infinity
  const answer = await decodeInWorker(bytes, decoder, pieceBytes, timeoutS, limits)
  if ('stopped' in answer) throw stoppedError(answer.stopped, limits, timeoutS)
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

/** Seconds of sound in an MP4 file that are unpacked without ffmpeg: 20 minutes take some 500 MB. */
const LONGEST_S = 1_200

function tooLongError(): InputError {
  return new InputError(
    'unreadable',
    'is too long to be read without ffmpeg, which needs no memory for it',
    'install ffmpeg, or cut the clip to 20 minutes',
  )
}

function stoppedError(why: Stopped, { memoryMb, busyS }: DecodeLimits, timeoutS: number): InputError {
  const what =
    why === 'memory'
      ? `takes more than ${memoryMb} MB of memory`
      : `was not done after ${Math.min(busyS, timeoutS)} s`
  return new InputError(
    'unreadable',
    `is damaged, or too long: decoding it ${what}`,
    'copy it from the phone again; if it plays, install ffmpeg or cut it to 20 minutes',
  )
}

function impossibleError(table: string): InputError {
  return new InputError(
    'unreadable',
    `is damaged: its index (${escapeControls(table)}) counts more than the file can hold`,
    'copy it from the phone again',
  )
}

/** Length by the movie header of an MP4 file (ISO/IEC 14496-12, 8.2.2); 0 where there is none. */
function statedDurationS(bytes: Uint8Array): number {
  const file = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length)
  const at = file.lastIndexOf('mvhd')
  if (at < 0 || at + 36 > file.length) return 0
  const isLong = file[at + 4] === 1
  const scale = file.readUInt32BE(at + (isLong ? 24 : 16))
  const ticks = isLong ? Number(file.readBigUInt64BE(at + 28)) : file.readUInt32BE(at + 20)
  return scale > 0 ? ticks / scale : 0
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
