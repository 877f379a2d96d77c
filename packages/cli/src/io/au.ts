/** Channels of one length, and their rate. */
interface Samples {
  readonly channels: Float32Array[]
  readonly rateHz: number
}

/** Samples a channel of a block, at least; the pipe brings far fewer at a time. */
const BLOCK_FRAMES = 2 ** 17
const HEAD_BYTES = 24

/** Takes samples out of an AU stream of big-endian 32-bit floats as its bytes come in. */
export interface AuReader {
  /** A block of sound, when enough has come in; arrays are fresh. */
  take(bytes: Uint8Array): Samples | undefined
  /** What has come in since the last block; undefined where there was never a head. */
  rest(): Samples | undefined
}

export function auReader(): AuReader {
  const pieces: Uint8Array[] = []
  let size = 0
  let head: { readonly rateHz: number; readonly count: number } | undefined
  const gather = (): Buffer => {
    const all = Buffer.concat(pieces.splice(0), size)
    size = 0
    return all
  }
  const keep = (bytes: Uint8Array): void => {
    if (bytes.length > 0) pieces.push(bytes)
    size += bytes.length
  }
  const readHead = (): void => {
    if (head || size < HEAD_BYTES) return
    const all = gather()
    const start = all.readUInt32BE(4)
    const count = all.readUInt32BE(20)
    const isAu = all.toString('latin1', 0, 4) === '.snd' && count > 0
    if (isAu && all.length >= start) {
      head = { rateHz: all.readUInt32BE(16), count }
      keep(all.subarray(start))
    } else {
      keep(all)
    }
  }
  const unpack = (): Samples | undefined => {
    if (!head) return undefined
    const { rateHz, count } = head
    const all = gather()
    const frames = Math.floor(all.length / 4 / count)
    const channels = Array.from({ length: count }, () => new Float32Array(frames))
    const view = new DataView(all.buffer, all.byteOffset, all.length)
    let at = 0
    for (let frame = 0; frame < frames; frame++)
      for (let c = 0; c < count; c++, at += 4) channels[c]![frame] = view.getFloat32(at)
    keep(all.subarray(at))
    return { channels, rateHz }
  }
  return {
    take(bytes) {
      keep(bytes)
      readHead()
      return head && size >= 4 * head.count * BLOCK_FRAMES ? unpack() : undefined
    },
    rest: unpack,
  }
}
