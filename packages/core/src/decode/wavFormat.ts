import { InputError } from '../errors.js'
import { MAX_CHANNELS, MAX_RATE_HZ, MIN_RATE_HZ } from './constants.js'
import type { DecodeNote } from './types.js'

/** How the samples of a WAV file are laid out. */
export interface WavFormat {
  readonly isFloat: boolean
  readonly channels: number
  readonly rateHz: number
  /** Bytes a sample takes: 1, 2, 3, 4 or 8. */
  readonly sampleBytes: number
}

/** Codes of sample formats. Published: RFC 2361; WAVE_FORMAT_EXTENSIBLE. */
const PCM = 1
const FLOAT = 3
const EXTENSIBLE = 0xfffe

/** Names of what else is found inside WAV files (RFC 2361 and the vendors' registry). */
const OTHER_CODECS: Readonly<Record<number, string>> = {
  2: 'Microsoft ADPCM',
  6: 'A-law',
  7: 'mu-law',
  17: 'IMA ADPCM',
  34: 'TrueSpeech',
  49: 'GSM 6.10',
  64: 'G.721 ADPCM',
  69: 'G.726 ADPCM',
  80: 'MPEG layer 2',
  85: 'MP3',
  255: 'AAC',
  352: 'WMA',
  353: 'WMA',
  8192: 'AC-3',
}

const TO_PCM = 'turn it into plain WAV: ffmpeg -i in.wav -c:a pcm_s16le out.wav'

/**
 * Reads and checks the `fmt ` chunk.
 *
 * @param body  the chunk's bytes without id and size; may be cut short
 * @param notes gets a note where the chunk contradicts itself
 * @throws {InputError} `unreadable` for a chunk under 16 bytes or no channels; `unsupported-format` for other codecs,
 *   sample sizes, channel counts or rates
 */
export function readWavFormat(body: DataView, notes: DecodeNote[]): WavFormat {
  if (body.byteLength < 16) {
    throw new InputError(
      'unreadable',
      `WAV format chunk has ${body.byteLength} bytes; at least 16 are needed`,
    )
  }
  const tag = formatTag(body)
  const channels = body.getUint16(2, true)
  const rateHz = body.getUint32(4, true)
  const blockBytes = body.getUint16(12, true)
  const bits = body.getUint16(14, true)

  if (tag !== PCM && tag !== FLOAT) {
    const name = OTHER_CODECS[tag] ?? `codec 0x${tag.toString(16).padStart(4, '0')}`
    throw new InputError(
      'unsupported-format',
      `WAV holds ${name}; only PCM and float samples are read`,
      TO_PCM,
    )
  }
  if (channels === 0) throw new InputError('unreadable', 'WAV header says 0 channels; the file is damaged')
  if (channels > MAX_CHANNELS) {
    throw new InputError(
      'unsupported-format',
      `WAV header says ${channels} channels; at most ${MAX_CHANNELS} are read`,
    )
  }
  checkRate(rateHz)
  const isFloat = tag === FLOAT
  if (isFloat ? bits !== 32 && bits !== 64 : bits < 1 || bits > 32) {
    const expected = isFloat ? '32 or 64' : '8, 16, 24 or 32'
    throw new InputError(
      'unsupported-format',
      `WAV header says ${bits}-bit ${isFloat ? 'float' : 'PCM'}; ${expected} is read`,
      TO_PCM,
    )
  }
  const sampleBytes = Math.ceil(bits / 8)
  if (blockBytes !== channels * sampleBytes) {
    const code = 'odd-header'
    const message = `The header says ${blockBytes} bytes a frame; ${channels} × ${bits} bits were read instead.`
    notes.push({ code, message })
  }
  return { isFloat, channels, rateHz, sampleBytes }
}

/** @throws {InputError} `unsupported-format` for a rate that is not read, or no number */
export function checkRate(rateHz: number): void {
  if (rateHz >= MIN_RATE_HZ && rateHz <= MAX_RATE_HZ) return
  throw new InputError(
    'unsupported-format',
    `sample rate is ${rateHz} Hz; ${MIN_RATE_HZ} to ${MAX_RATE_HZ} Hz is read`,
    'record at 44,100 or 48,000 Hz',
  )
}

/** The codec number; EXTENSIBLE keeps it in the first two bytes of a GUID at offset 24. */
function formatTag(body: DataView): number {
  const tag = body.getUint16(0, true)
  if (tag !== EXTENSIBLE) return tag
  if (body.byteLength < 26) {
    throw new InputError(
      'unreadable',
      'WAV format chunk is cut short: extensible, but without its sub-format',
    )
  }
  return body.getUint16(24, true)
}
