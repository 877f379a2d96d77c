/** Names of audio-decode's decoders used here. */
export type DecoderName =
  | 'aac'
  | 'aiff'
  | 'amr'
  | 'avi'
  | 'caf'
  | 'flac'
  | 'm4a'
  | 'mkv'
  | 'mp3'
  | 'oga'
  | 'opus'
  | 'webm'
  | 'wma'

export interface Recognised {
  /** For messages, as in "a PNG picture". */
  readonly name: string
  /** False for what surely is no recording. */
  readonly isClip: boolean
  /** The built-in decoder for it; without one only ffmpeg can help. */
  readonly decoder?: DecoderName
}

interface Mark {
  readonly at: number
  readonly bytes: string
  readonly is: Recognised
}

const clip = (name: string, decoder?: DecoderName): Recognised =>
  decoder ? { name, isClip: true, decoder } : { name, isClip: true }
const other = (name: string): Recognised => ({ name, isClip: false })

const MP4 = clip('an MP4, M4A, MOV or 3GP file', 'm4a')

/** The first that fits wins. `bytes` is Latin-1. Marks as in the formats' own specifications and the Debian `file` database. */
const MARKS: readonly Mark[] = [
  ...['heic', 'heix', 'heif', 'mif1', 'msf1', 'avif'].map((brand) => ({
    at: 4,
    bytes: `ftyp${brand}`,
    is: other('an HEIF picture'),
  })),
  ...['ftyp', 'moov', 'mdat', 'wide', 'free', 'skip', 'pnot'].map((bytes) => ({ at: 4, bytes, is: MP4 })),
  { at: 0, bytes: '#!AMR', is: clip('an AMR file', 'amr') },
  { at: 28, bytes: 'OpusHead', is: clip('an Ogg Opus file', 'opus') },
  { at: 28, bytes: '\x01vorbis', is: clip('an Ogg Vorbis file', 'oga') },
  { at: 28, bytes: '\x7fFLAC', is: clip('an Ogg FLAC file', 'flac') },
  { at: 0, bytes: 'OggS', is: clip('an Ogg file') },
  { at: 0, bytes: 'fLaC', is: clip('a FLAC file', 'flac') },
  { at: 8, bytes: 'AIFF', is: clip('an AIFF file', 'aiff') },
  { at: 8, bytes: 'AIFC', is: clip('an AIFF-C file', 'aiff') },
  { at: 0, bytes: 'caff', is: clip('a CAF file', 'caf') },
  { at: 8, bytes: 'AVI ', is: clip('an AVI file', 'avi') },
  { at: 0, bytes: '\x30\x26\xb2\x75\x8e\x66\xcf\x11', is: clip('a WMA or WMV file', 'wma') },
  { at: 0, bytes: '.snd', is: clip('an AU file') },
  { at: 0, bytes: 'riff', is: clip('a Wave64 file') },
  { at: 0, bytes: '\x89PNG', is: other('a PNG picture') },
  { at: 0, bytes: '\xff\xd8\xff', is: other('a JPEG picture') },
  { at: 0, bytes: 'GIF8', is: other('a GIF picture') },
  { at: 8, bytes: 'WEBP', is: other('a WebP picture') },
  { at: 0, bytes: '%PDF', is: other('a PDF document') },
  { at: 0, bytes: 'PK\x03\x04', is: other('a ZIP archive') },
  { at: 0, bytes: '\x1f\x8b', is: other('a gzip archive') },
  { at: 0, bytes: '\x7fELF', is: other('a program') },
  { at: 0, bytes: 'MThd', is: other('a MIDI file') },
]

/**
 * Tells by content what a file is; its name does not count.
 *
 * @param head the first bytes, some 64 KiB; WAV is left to `isWav`
 * @returns undefined for bytes that fit nothing known
 */
export function recognise(head: Uint8Array): Recognised | undefined {
  const text = latin1(head)
  const mark = MARKS.find(({ at, bytes }) => text.startsWith(bytes, at))
  if (mark !== undefined) return mark.is
  if (text.startsWith('\x1a\x45\xdf\xa3')) return matroska(head)
  if (text.startsWith('ID3')) return recognise(head.subarray(id3Bytes(head))) ?? clip('an MP3 file', 'mp3')
  if (isMp3Frame(head)) return clip('an MP3 file', 'mp3')
  if (isAdtsFrame(head)) return clip('an AAC file', 'aac')
  if (isText(head)) return other('a text file')
  return undefined
}

/** The first bytes, a character each. */
function latin1(head: Uint8Array): string {
  return String.fromCharCode(...head.subarray(0, 64))
}

function matroska(head: Uint8Array): Recognised {
  const isWebm = latin1(head).includes('webm')
  return isWebm ? clip('a WebM file', 'webm') : clip('a Matroska file', 'mkv')
}

/** Length of an ID3v2 tag, which holds seven bits a byte (id3.org, ID3v2.4 section 3.1). */
function id3Bytes(head: Uint8Array): number {
  const [a = 0, b = 0, c = 0, d = 0] = head.subarray(6, 10)
  return 10 + ((a & 127) << 21) + ((b & 127) << 14) + ((c & 127) << 7) + (d & 127)
}

/** Layer III frame head with a bit rate and a sample rate that exist (ISO/IEC 11172-3, 2.4.2.3). */
function isMp3Frame(head: Uint8Array): boolean {
  const [a = 0, b = 0, c = 0] = head
  const bitRate = c >> 4
  return a === 0xff && (b & 0xe6) === 0xe2 && bitRate > 0 && bitRate < 15 && ((c >> 2) & 3) !== 3
}

/** ADTS frame head: sync word, layer 0, a sample rate that exists (ISO/IEC 13818-7, 6.2). */
function isAdtsFrame(head: Uint8Array): boolean {
  const [a = 0, b = 0, c = 0] = head
  return a === 0xff && (b & 0xf6) === 0xf0 && ((c >> 2) & 15) < 13
}

function isText(head: Uint8Array): boolean {
  const start = head.subarray(0, 512)
  return start.length > 0 && start.every((byte) => (byte >= 32 && byte !== 127) || (byte >= 9 && byte <= 13))
}
