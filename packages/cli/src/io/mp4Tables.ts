/** Boxes that hold boxes, as far as a decoder walks (ISO/IEC 14496-12, table 1). */
const HOLDS_BOXES = new Set(['moov', 'trak', 'mdia', 'minf', 'stbl', 'moof', 'traf', 'mvex', 'udta', 'edts'])
/** Boxes in boxes go no deeper than this in any file; the deepest table lies in the sixth. */
const DEEPEST = 16
/** A file that was cut off is taken to hold at least this part of what it was. Chosen. */
const LEAST_PART = 1 / 64
/** Bytes an entry takes in a table of fixed entries (ISO/IEC 14496-12, 8.6 and 8.7), and where its count stands. */
const ENTRY_BYTES: Readonly<Record<string, number>> = {
  stts: 8,
  ctts: 8,
  stsc: 12,
  stco: 4,
  co64: 8,
  stss: 4,
}

/**
 * The first table of an MP4 file that counts more than the file can hold; null where all are possible.
 *
 * Decoders believe these counts: some bytes that say four thousand million samples take them gigabytes, or minutes.
 *
 * @param bytes the whole file
 * @returns name of the box
 */
export function impossibleTable(bytes: Uint8Array): string | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const wholeBytes = wholeSize(view)
  const open: { at: number; end: number; depth: number }[] = [{ at: 0, end: bytes.length, depth: 0 }]
  for (let walk = open.pop(); walk; walk = open.pop()) {
    const { at, end, depth } = walk
    if (at + 8 > end) continue
    const head = view.getUint32(at) === 1 ? 16 : 8
    if (at + head > end) continue
    const size = sizeOf(view, at, end)
    if (size < head || at + size > end) continue
    if (at + size < end) open.push({ at: at + size, end, depth })
    const type = String.fromCharCode(...bytes.subarray(at + 4, at + 8))
    if (!HOLDS_BOXES.has(type)) {
      const body = new DataView(view.buffer, view.byteOffset + at + head, size - head)
      if (isImpossible(type, body, wholeBytes)) return type
    } else if (depth === DEEPEST) return type
    else open.push({ at: at + head, end: at + size, depth: depth + 1 })
  }
  return null
}

/** Bytes of the file before it was cut off, as its last outer box has it, as far as that can be believed. */
function wholeSize(view: DataView): number {
  let at = 0
  while (at + 16 <= view.byteLength) {
    const size = sizeOf(view, at, view.byteLength)
    if (size < 8) break
    at += size
  }
  return Math.max(view.byteLength, Math.min(at, view.byteLength / LEAST_PART))
}

function sizeOf(view: DataView, at: number, end: number): number {
  const size = view.getUint32(at)
  return size === 1 ? Number(view.getBigUint64(at + 8)) : size === 0 ? end - at : size
}

function isImpossible(type: string, body: DataView, fileBytes: number): boolean {
  const entryBytes = ENTRY_BYTES[type]
  if (entryBytes !== undefined)
    return body.byteLength < 8 || 8 + entryBytes * body.getUint32(4) > body.byteLength
  if (type === 'stsz') return body.byteLength < 12 || !sizesFit(body, fileBytes)
  if (type === 'trun') return body.byteLength < 8 || !runFits(body, fileBytes)
  return false
}

/** Samples lie in the file, none twice: their sizes add up to no more than it has. */
function sizesFit(body: DataView, fileBytes: number): boolean {
  const [size, count] = [body.getUint32(4), body.getUint32(8)]
  if (size > 0) return size * count <= fileBytes
  if (12 + 4 * count > body.byteLength) return false
  let sum = 0
  for (let i = 0; i < count; i++) sum += body.getUint32(12 + 4 * i)
  return sum <= fileBytes
}

/** A run of samples in a fragment: each flag from 0x100 on adds four bytes a sample (ISO/IEC 14496-12, 8.8.8). */
function runFits(body: DataView, fileBytes: number): boolean {
  const [flags, count] = [body.getUint32(0), body.getUint32(4)]
  const width = [0x100, 0x200, 0x400, 0x800].filter((flag) => flags & flag).length * 4
  return width > 0 ? 8 + width * count <= body.byteLength : count <= fileBytes
}
