import type { DecoderName } from '../clip/recognise.js'

/**
 * Tells whether a file ends before its own structure says it should. The built-in decoders do not notice.
 *
 * @param bytes  the whole file
 * @param frames samples a channel that were decoded; FLAC states how many there ought to be
 * @returns false also where the format gives no way to tell (MP3, AMR, AAC, WMA, AVI)
 */
export function isCutOff(bytes: Uint8Array, decoder: DecoderName, frames: number): boolean {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  switch (decoder) {
    case 'm4a':
      return boxes(view).some(({ end }) => end > bytes.length)
    case 'oga':
    case 'opus':
      return !hasLastOggPage(bytes)
    case 'webm':
    case 'mkv':
      return segmentEnd(view) > bytes.length
    case 'aiff':
      return bytes.length >= 8 && 8 + view.getUint32(4) > bytes.length + 1
    case 'caf':
      return cafEnd(view) > bytes.length
    case 'flac':
      return frames < flacFrames(view)
    default:
      return false
  }
}

/** True for an MP4 or MOV without `moov`, the index written last: nothing can be read without it. */
export function lacksIndex(bytes: Uint8Array): boolean {
  return !boxes(new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)).some(
    ({ type }) => type === 'moov',
  )
}

/** Boxes of the outermost level (ISO/IEC 14496-12, 4.2); the last may end beyond the file. */
function boxes(view: DataView): { type: string; end: number }[] {
  const found: { type: string; end: number }[] = []
  let at = 0
  while (at + 8 <= view.byteLength) {
    let size = view.getUint32(at)
    if (size === 1 && at + 16 <= view.byteLength) size = Number(view.getBigUint64(at + 8))
    if (size === 0) size = view.byteLength - at
    if (size < 8) break
    const type = String.fromCharCode(...[4, 5, 6, 7].map((k) => view.getUint8(at + k)))
    at += size
    found.push({ type, end: at })
  }
  return found
}

/** The last page of an Ogg file is whole and carries the end-of-stream flag (RFC 3533, section 6). */
function hasLastOggPage(bytes: Uint8Array): boolean {
  const at = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).lastIndexOf('OggS')
  if (at < 0 || at + 27 > bytes.length) return false
  const segments = bytes.subarray(at + 27, at + 27 + bytes[at + 26]!)
  const end = segments.reduce((sum, length) => sum + length, at + 27 + segments.length)
  return (bytes[at + 5]! & 4) !== 0 && end <= bytes.length
}

/** End of the Matroska segment by its own size; -1 where it has none, as in a live recording (RFC 8794, RFC 9559). */
function segmentEnd(view: DataView): number {
  const header = ebmlSize(view, 4)
  if (header === undefined) return -1
  const segment = header.next + header.size
  if (segment + 12 > view.byteLength || view.getUint32(segment) !== 0x18538067) return -1
  const size = ebmlSize(view, segment + 4)
  return size === undefined ? -1 : size.next + size.size
}

/** Variable-length size: the leading zeros of the first byte count the bytes that follow; all ones means unknown. */
function ebmlSize(view: DataView, at: number): { size: number; next: number } | undefined {
  if (at >= view.byteLength) return undefined
  const length = Math.clz32(view.getUint8(at)) - 23
  if (length > 8 || at + length > view.byteLength) return undefined
  let size = view.getUint8(at) & (2 ** (8 - length) - 1)
  for (let k = 1; k < length; k++) size = size * 256 + view.getUint8(at + k)
  return size >= 2 ** (7 * length) - 1 ? undefined : { size, next: at + length }
}

/** End of the last CAF chunk by its own size; an open `data` chunk (size −1) ends nowhere (Apple CAF specification 1.0). */
function cafEnd(view: DataView): number {
  let at = 8
  while (at + 12 <= view.byteLength) {
    const size = Number(view.getBigInt64(at + 4))
    if (size < 0) return -1
    at += 12 + size
  }
  return at
}

/** Samples a channel by STREAMINFO, 0 where unknown (RFC 9639, section 8.2); 36 bits from byte 21 on. */
function flacFrames(view: DataView): number {
  if (view.byteLength < 26 || view.getUint32(0) !== 0x664c6143) return 0
  return (view.getUint8(21) & 15) * 2 ** 32 + view.getUint32(22)
}
