import { InputError } from '@everyrev/core/errors'

/** Channels of one length, and their rate. */
interface Samples {
  readonly channels: Float32Array[]
  readonly rateHz: number
}

/** Samples a channel of a block, at least; the pipe brings far fewer at a time. */
const BLOCK_FRAMES = 2 ** 17
const HEAD_BYTES = 24
/** The head may carry a comment; ffmpeg's is shorter than this. */
const LONGEST_HEAD_BYTES = 65_536
/** As many as `checkDecoded` lets through. */
const MAX_CHANNELS = 64

/** Takes samples out of an AU stream of big-endian 32-bit floats as its bytes come in. */
export interface AuReader {
  /**
   * A block of sound, when enough has come in; arrays are fresh.
   *
   * @throws {InputError} `unreadable` when it is no AU stream, or one of too many channels
   */
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
    keep(all)
    const start = all.readUInt32BE(4)
    const count = all.readUInt32BE(20)
    const isAu = all.toString('latin1', 0, 4) === '.snd' && start <= LONGEST_HEAD_BYTES
    if (!isAu || count === 0 || count > MAX_CHANNELS)
      throw new InputError(
        'unreadable',
        isAu ? `holds ${count} channels; 1 to ${MAX_CHANNELS} are read` : 'ffmpeg gives no sound for it',
        'record the clip again',
      )
    if (all.length < start) return
    head = { rateHz: all.readUInt32BE(16), count }
    gather()
    keep(all.subarray(start))
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
