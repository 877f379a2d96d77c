import { InputError } from '../errors.js'
import type { ViewableFile } from './byteFile.js'
import { STRAY_BYTES, STREAMING_SIZE } from './constants.js'
import type { DecodeNote } from './types.js'

/** As much of a format chunk as is ever read. Published: WAVEFORMATEXTENSIBLE takes 40. */
const FORMAT_BYTES = 40

/** Where the two chunks that matter lie, in bytes from the start of the file. */
export interface WavChunks {
  readonly format: DataView
  readonly dataStart: number
  /** Never beyond the end of the file. */
  readonly dataBytes: number
}

/**
 * Walks the chunks of a RIFF, RF64 or BW64 file to the first `fmt ` and `data`.
 *
 * Sizes are not trusted: what lies in the file counts, and every difference gives a note. Each step moves on by at
 * least the eight bytes of a chunk's head, so the walk ends on any input.
 *
 * @param file  read in a few places only
 * @param notes gets `streaming-size`, `truncated` and `wrong-size`
 * @throws {InputError} `unreadable` without `fmt `, `no-samples` without `data`
 * @see EBU Tech 3306 (RF64), Microsoft "Multimedia Programming Interface and Data Specifications 1.0" (RIFF)
 */
export function findWavChunks(file: ViewableFile, notes: DecodeNote[]): WavChunks {
  let format: DataView | undefined
  let data: { start: number; size: number } | undefined
  let longDataSize: number | undefined
  let at = 12
  while (at + 8 <= file.size && (format === undefined || data === undefined)) {
    const id = chunkId(file, at)
    const start = at + 8
    let size = file.view(at + 4, 4).getUint32(0, true)
    if (id === 'ds64' && start + 16 <= file.size)
      longDataSize = Number(file.view(start + 8, 8).getBigUint64(0, true))
    if (id === 'data' && data === undefined) {
      const isOpen = size >= STREAMING_SIZE && longDataSize === undefined
      if (size === 0xffff_ffff && longDataSize !== undefined) size = longDataSize
      size = dataSize(file, start, size, isOpen, notes)
      data = { start, size }
    }
    if (id === 'fmt ' && format === undefined) {
      format = new DataView(Uint8Array.from(file.bytes(start, Math.min(size, FORMAT_BYTES))).buffer)
    }
    at = nextChunk(file, start + size)
  }
  if (format === undefined)
    throw new InputError('unreadable', 'WAV file has no format chunk; the header is damaged')
  if (data === undefined)
    throw new InputError('no-samples', 'WAV file has no data chunk; it was cut off before the sound')
  return { format, dataStart: data.start, dataBytes: data.size }
}

/** Bytes of sound that are really there; `isOpen` when the header's size only says "not known yet". */
function dataSize(
  file: ViewableFile,
  start: number,
  size: number,
  isOpen: boolean,
  notes: DecodeNote[],
): number {
  const rest = file.size - start
  if (isOpen && size > rest) {
    notes.push({
      code: 'streaming-size',
      message: 'The header gives no length; read to the end of the file.',
    })
    return rest
  }
  if (size > rest) {
    const share = Math.floor((100 * rest) / size)
    notes.push({
      code: 'truncated',
      message: `The file is cut off: ${share} % of the sound its header promises is there.`,
    })
    return rest
  }
  const stray = rest - size
  if (stray <= 1 || looksLikeChunk(file, nextChunk(file, start + size))) return size
  if (size === 0) {
    notes.push({
      code: 'streaming-size',
      message: 'The header says 0 bytes of sound; read to the end of the file.',
    })
    return rest
  }
  if (stray < STRAY_BYTES) {
    notes.push({
      code: 'wrong-size',
      message: `${stray} bytes after the sound belong to nothing and were left out.`,
    })
    return size
  }
  notes.push({
    code: 'wrong-size',
    message: `The header says ${size} bytes of sound, the file holds ${rest}; all were read.`,
  })
  return rest
}

/** Chunks start at even offsets; some writers forget the pad byte, which shows in an id that is no text. */
function nextChunk(file: ViewableFile, end: number): number {
  if (end % 2 === 0) return end
  return !hasChunkId(file, end + 1) && hasChunkId(file, end) ? end : end + 1
}

function looksLikeChunk(file: ViewableFile, at: number): boolean {
  if (!hasChunkId(file, at) || at + 8 > file.size) return false
  return at + 8 + file.view(at + 4, 4).getUint32(0, true) <= file.size
}

/** Four letters, digits or blanks: "LIST", "id3 ", "_PMX". */
function hasChunkId(file: ViewableFile, at: number): boolean {
  return at + 4 <= file.size && /^[\w ]{4}$/.test(chunkId(file, at))
}

function chunkId(file: ViewableFile, at: number): string {
  return String.fromCharCode(...file.bytes(at, 4))
}
