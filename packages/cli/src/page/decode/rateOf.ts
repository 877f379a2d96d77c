import type { DecoderName } from '../../clip/recognise.js'

/** Rate a browser is asked to decode to where a file does not say its own: what phones record at. */
export const USUAL_RATE_HZ = 48_000

const MP3_RATES_HZ = [44_100, 48_000, 32_000] as const
const ADTS_RATES_HZ = [
  96_000, 88_200, 64_000, 48_000, 44_100, 32_000, 24_000, 22_050, 16_000, 12_000, 11_025, 8_000, 7_350,
] as const

/**
 * The rate of the sound in a compressed file, samples a second, so that decoding does not resample it.
 *
 * @param head the first bytes, some 64 KiB
 * @returns a rate browsers decode to (8,000 to 96,000); {@link USUAL_RATE_HZ} where the head does not say
 * @see ISO/IEC 14496-12 (sample entry), 11172-3 (MP3), 13818-7 (ADTS), RFC 9639 (FLAC), RFC 7845 (Opus is 48 kHz)
 */
export function rateOf(head: Uint8Array, decoder: DecoderName | undefined): number {
  const found = RATES[decoder ?? 'webm']?.(head) ?? USUAL_RATE_HZ
  return found >= 8_000 && found <= 96_000 ? found : USUAL_RATE_HZ
}

const RATES: Partial<Record<DecoderName, (head: Uint8Array) => number | undefined>> = {
  m4a: mp4Rate,
  mp3: mp3Rate,
  aac: (head) => ADTS_RATES_HZ[(head[2]! >> 2) & 15],
  flac: (head) => (head[18]! << 12) | (head[19]! << 4) | (head[20]! >> 4),
  oga: (head) => uint32le(head, 40),
  opus: () => USUAL_RATE_HZ,
}

/** Sample rate of the first `mp4a` entry, a 16.16 number 28 bytes behind its name; the entry may lie past the head. */
function mp4Rate(head: Uint8Array): number | undefined {
  const at = indexOf(head, 'mp4a')
  if (at < 0 || at + 30 > head.length) return undefined
  return (head[at + 28]! << 8) | head[at + 29]!
}

function mp3Rate(head: Uint8Array): number | undefined {
  const first = indexOf(head, 'ID3') === 0 ? 10 + syncSafe(head.subarray(6, 10)) : 0
  const at = head.findIndex((byte, i) => i >= first && byte === 0xff && (head[i + 1]! & 0xe6) === 0xe2)
  if (at < 0) return undefined
  const version = (head[at + 1]! >> 3) & 3
  const rate = MP3_RATES_HZ[(head[at + 2]! >> 2) & 3]
  return rate && rate / (version === 3 ? 1 : version === 2 ? 2 : 4)
}

function syncSafe([a = 0, b = 0, c = 0, d = 0]: Uint8Array): number {
  return (a << 21) | (b << 14) | (c << 7) | d
}

function uint32le(bytes: Uint8Array, at: number): number {
  return bytes[at]! | (bytes[at + 1]! << 8) | (bytes[at + 2]! << 16) | (bytes[at + 3]! << 24)
}

function indexOf(bytes: Uint8Array, text: string): number {
  const wanted = Array.from(text, (c) => c.charCodeAt(0))
  return bytes.findIndex((_, i) => wanted.every((code, k) => bytes[i + k] === code))
}
