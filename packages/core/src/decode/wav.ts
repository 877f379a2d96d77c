import { InputError } from '../errors.js'
import { mendFloats } from './floats.js'
import { readPcm } from './pcm.js'
import type { DecodedAudio, DecodeNote } from './types.js'
import { findWavChunks } from './wavChunks.js'
import { readWavFormat } from './wavFormat.js'

/** First four bytes of the WAV family; RIFX is the big-endian sister. */
const MAGIC = ['RIFF', 'RIFX', 'RF64', 'BW64']

/**
 * Tells by content whether bytes are a WAV file, readable or not.
 *
 * @param bytes the file or its first 12 bytes
 */
export function isWav(bytes: Uint8Array): boolean {
  return MAGIC.includes(text(bytes, 0)) && text(bytes, 8) === 'WAVE'
}

/**
 * Reads a WAV file: RIFF, RF64 or BW64 with 8-, 16-, 24- or 32-bit PCM or 32- or 64-bit float samples, plain or
 * extensible header.
 *
 * A wrong, missing or streaming length is no error: the sound that is there is read and a note says what was found.
 *
 * @param bytes the whole file
 * @returns one array a channel, all of the same length > 0, linear, full scale 1, finite
 * @throws {InputError} `unsupported-format` for no WAV, another codec, channel count, sample size or rate;
 *   `unreadable` for a damaged header; `no-samples` for a file without sound; `not-finite` for NaN samples
 * @example decodeWav(readFileSync('cruise-needle-clip-2.wav')).rateHz // 22050
 */
export function decodeWav(bytes: Uint8Array): DecodedAudio {
  if (!isWav(bytes))
    throw new InputError('unsupported-format', 'not a WAV file: it does not start with RIFF…WAVE')
  if (text(bytes, 0) === 'RIFX') {
    throw new InputError(
      'unsupported-format',
      'WAV file is big-endian (RIFX), which is not read',
      'turn it round: ffmpeg -i in.wav -c:a pcm_s16le out.wav',
    )
  }
  const notes: DecodeNote[] = []
  const chunks = findWavChunks(bytes, notes)
  const format = readWavFormat(chunks.format, notes)
  const frameBytes = format.channels * format.sampleBytes
  const frames = Math.floor(chunks.dataBytes / frameBytes)
  if (frames === 0) throw new InputError('no-samples', 'WAV file holds no sound', 'record the clip again')
  const data = bytes.subarray(chunks.dataStart, chunks.dataStart + frames * frameBytes)
  const channels = readPcm(data, format)
  if (format.isFloat) mendFloats(channels, notes)
  return { channels, rateHz: format.rateHz, notes }
}

function text(bytes: Uint8Array, at: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + 4))
}
