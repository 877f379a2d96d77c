import { makeAiff, makeCaf } from './containers.js'
import type { Seed } from './seeds.js'

/** Rates, sizes and lengths that no file has. */
const NUMBERS = [0, -0, -1, 0.5, 5e-324, 1e-3, 1, 3_999, 1e6, 1e9, 1e308, Number.NaN, Infinity, -Infinity]
const WHOLES = [0, 1, 0x7fff, 0xffff, 0x7fffffff, 0x80000000, 0xffffffff]

/** A field of a container: where it lies behind a mark, and how wide it is. */
interface Field {
  readonly mark: string
  readonly at: number
  readonly bytes: 1 | 2 | 3 | 4 | 8
  readonly is?: 'float'
  readonly little?: true
}

const field = (mark: string, bytes: 1 | 2 | 3 | 4 | 8, ...places: readonly number[]): Field[] =>
  places.map((at) => ({ mark, at, bytes }))
const little = (fields: readonly Field[]): Field[] => fields.map((f) => ({ ...f, little: true }))
const float = (fields: readonly Field[]): Field[] => fields.map((f) => ({ ...f, is: 'float' }))

/** ISO/IEC 14496-12 and -14: time scales and durations, counts, sizes, rate and channels. */
const MP4: readonly Field[] = [
  ...field('mvhd', 4, 16, 20),
  ...field('mdhd', 4, 16, 20),
  ...field('tkhd', 4, 24),
  ...field('elst', 4, 8, 12, 16),
  ...field('stts', 4, 8, 12, 16),
  ...field('stsc', 4, 8, 12, 16),
  ...field('stsz', 4, 8, 12, 16),
  ...field('stco', 4, 8, 12),
  ...field('mp4a', 2, 20, 22, 28),
  ...field('alac', 4, 28),
  ...field('trun', 4, 8, 12, 16),
  ...field('mdat', 4, -4),
  ...field('moov', 4, -4),
]
/** RFC 9559: time-code scale, duration, sampling frequency, channels, by their ids. */
const MATROSKA: readonly Field[] = [
  ...field('\x2a\xd7\xb1\x83', 3, 4),
  ...float(field('\x44\x89\x84', 4, 3)),
  ...float(field('\x44\x89\x88', 8, 3)),
  ...float(field('\xb5\x84', 4, 2)),
  ...float(field('\xb5\x88', 8, 2)),
  ...field('\x9f\x81', 1, 2),
]
/** RFC 7845 and Vorbis I, 4.2.2, in the first page of an Ogg file. */
const OGG: readonly Field[] = [
  ...field('OpusHead', 1, 9),
  ...little([
    ...field('OpusHead', 4, 12),
    ...field('OpusHead', 2, 10, 16),
    ...field('\x01vorbis', 4, 12, 16, 20, 24),
  ]),
  ...field('\x01vorbis', 1, 11, 28),
]
const FIELDS: Readonly<Record<string, readonly Field[]>> = {
  m4a: MP4,
  mp4: MP4,
  mov: MP4,
  '3gp': MP4,
  webm: MATROSKA,
  mkv: MATROSKA,
  ogg: OGG,
  opus: OGG,
  flac: field('fLaC', 2, 8, 10, 18, 20, 22, 24),
  au: field('.snd', 4, 4, 8, 12, 16, 20),
  w64: little(field('fmt ', 4, 24, 26, 28, 32, 36)),
  avi: little([...field('strh', 4, 4, 28, 32, 40), ...field('strf', 4, 4, 8, 10, 12, 16, 20)]),
}

/** Files whose containers lie about rate, size, duration or time scale: one lie each, all of them, whatever the seeds allow. */
export function lyingContainers(seeds: readonly Seed[]): Seed[] {
  const sound = Float32Array.from({ length: 20_000 }, (_, i) => Math.sin(i / 20))
  const plain = NUMBERS.map((rateHz) => ({ rateHz }))
  const counts = WHOLES.flatMap((n) => [{ channels: n & 0xffff }, { frames: n }, { bits: n & 0xffff }])
  const own = [...plain, ...counts].flatMap((lie) => [
    { ending: 'aiff', bytes: makeAiff(sound, lie) },
    { ending: 'caf', bytes: makeCaf(sound, lie) },
  ])
  return [...own, ...seeds.flatMap(liesOf)]
}

function liesOf(seed: Seed): Seed[] {
  const found = FIELDS[seed.ending] ?? []
  return found.flatMap((f) => {
    const at = Buffer.from(seed.bytes).indexOf(f.mark, 0, 'latin1')
    if (at < 0 || at + f.at < 0 || at + f.at + f.bytes > seed.bytes.length) return []
    return (f.is === 'float' ? NUMBERS : WHOLES).map((value) => {
      const bytes = Buffer.from(seed.bytes)
      write(bytes, at + f.at, f, value)
      if (bytes.toString('latin1', 0, 4) === 'OggS') mendPage(bytes)
      return { ending: seed.ending, bytes }
    })
  })
}

function write(bytes: Buffer, at: number, { bytes: width, is, little }: Field, value: number): void {
  if (is === 'float') {
    if (width === 8) bytes.writeDoubleBE(value, at)
    else bytes.writeFloatBE(value, at)
    return
  }
  const whole = value % 2 ** (8 * width)
  if (width === 8) bytes.writeBigUInt64BE(BigInt(whole), at)
  else if (little) bytes.writeUIntLE(whole, at, width)
  else bytes.writeUIntBE(whole, at, width)
}

/** Sets the checksum of the first Ogg page right again, or nobody would look at the lie (RFC 3533, section 6). */
function mendPage(bytes: Buffer): void {
  const segments = bytes.subarray(27, 27 + bytes[26]!)
  const end = segments.reduce((sum, length) => sum + length, 27 + segments.length)
  bytes.writeUInt32LE(0, 22)
  let crc = 0
  for (const byte of bytes.subarray(0, end)) {
    crc ^= byte << 24
    for (let bit = 0; bit < 8; bit++) crc = crc < 0 ? (crc << 1) ^ 0x04c11db7 : crc << 1
  }
  bytes.writeUInt32LE(crc >>> 0, 22)
}
