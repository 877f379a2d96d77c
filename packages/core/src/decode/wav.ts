import { InputError } from '../errors.js'
import { type ByteFile, inMemory, viewable } from './byteFile.js'
import { type FloatOddities, judgeFloats, mendFloats, surveyFloats } from './floats.js'
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
  const wav = openWav(inMemory(bytes))
  return { channels: wav.read(0, wav.frames), rateHz: wav.rateHz, notes: wav.notes }
}

/** A WAV file that is read in parts. */
export interface OpenWav {
  readonly rateHz: number
  readonly channels: number
  /** Samples a channel. */
  readonly frames: number
  readonly notes: readonly DecodeNote[]
  /** Samples `from` to `from + count − 1` of every channel, linear, full scale 1, finite; fresh arrays. */
  read(from: number, count: number): Float32Array[]
}

/** Samples of a float file that are looked through at a time, before it is read. Chosen: small enough to keep memory flat. */
const SURVEY_FRAMES = 2 ** 18

/**
 * Opens a WAV file larger than memory: as {@link decodeWav}, but sound is read when it is asked for.
 *
 * Float samples are looked through once first, so that all parts are mended and scaled alike.
 *
 * @param file where bytes come from; must not change meanwhile
 * @throws {InputError} as {@link decodeWav}
 * @example
 * const bytes = readFileSync('cruise-needle-clip-2.wav')
 * const wav = openWav({ size: bytes.length, bytes: (at, count) => bytes.subarray(at, at + count) })
 * wav.frames / wav.rateHz // 7.2
 * wav.read(1000, 50)[0].length // 50
 */
export function openWav(file: ByteFile): OpenWav {
  const start = file.bytes(0, 12)
  if (!isWav(start))
    throw new InputError('unsupported-format', 'not a WAV file: it does not start with RIFF…WAVE')
  if (text(start, 0) === 'RIFX') {
    throw new InputError(
      'unsupported-format',
      'WAV file is big-endian (RIFX), which is not read',
      'turn it round: ffmpeg -i in.wav -c:a pcm_s16le out.wav',
    )
  }
  const notes: DecodeNote[] = []
  const chunks = findWavChunks(viewable(file), notes)
  const format = readWavFormat(chunks.format, notes)
  const frameBytes = format.channels * format.sampleBytes
  const frames = Math.floor(chunks.dataBytes / frameBytes)
  if (frames === 0) throw new InputError('no-samples', 'WAV file holds no sound', 'record the clip again')
  const plain = (from: number, count: number): Float32Array[] => {
    const last = Math.min(frames, from + count)
    return readPcm(file.bytes(chunks.dataStart + from * frameBytes, (last - from) * frameBytes), format)
  }
  const { rateHz, channels } = format
  if (!format.isFloat) return { rateHz, channels, frames, notes, read: plain }
  let oddities: FloatOddities | undefined
  for (let at = 0; at < frames; at += SURVEY_FRAMES)
    oddities = surveyFloats(plain(at, SURVEY_FRAMES), oddities)
  const scale = judgeFloats(oddities!, notes)
  const read = (from: number, count: number): Float32Array[] => {
    const samples = plain(from, count)
    mendFloats(samples, scale)
    return samples
  }
  return { rateHz, channels, frames, notes, read }
}

function text(bytes: Uint8Array, at: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + 4))
}
