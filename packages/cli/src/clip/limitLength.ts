import { type DecodedAudio, type DecodeNote, decodeWav } from '@everyrev/core/hear'
import { HEAD_BYTES, MAX_DURATION_S } from './constants.js'

/** A file whose start can be had without the rest. */
export interface PartlyRead {
  readonly head: Uint8Array
  readonly sizeBytes: number
  /** The whole file, or no more than its first `limit` bytes. */
  bytes(limit?: number): Promise<Uint8Array>
}

/**
 * Reads a WAV file no further than `maxDurationS` needs, so that a recording of hours takes no more memory than that.
 *
 * Without a limit below {@link MAX_DURATION_S}, or with a header that gives no byte rate, the whole file is read.
 */
export async function readWav(source: PartlyRead, maxDurationS: number): Promise<DecodedAudio> {
  const rate = maxDurationS < MAX_DURATION_S ? bytesPerSecond(source.head) : 0
  const limit = rate > 0 ? HEAD_BYTES + Math.ceil(rate * maxDurationS) + rate : Infinity
  if (source.sizeBytes <= limit) return decodeWav(await source.bytes())
  const audio = decodeWav(await source.bytes(limit))
  // What the header says of the length was compared with the part that was read.
  return { ...audio, notes: audio.notes.filter(({ code }) => code !== 'truncated' && code !== 'wrong-size') }
}

/** Leaves out what goes beyond `maxDurationS`, and says so in a note. */
export function cutAfter(maxDurationS: number, audio: DecodedAudio): DecodedAudio {
  const frames = Math.round(maxDurationS * audio.rateHz)
  if (!audio.channels.some((samples) => samples.length > frames)) return audio
  return {
    channels: audio.channels.map((samples) => samples.slice(0, frames)),
    rateHz: audio.rateHz,
    notes: [...audio.notes, tooLongNote(maxDurationS)],
  }
}

/** Says that what comes later was left out. */
export function tooLongNote(maxDurationS: number): DecodeNote {
  const length =
    maxDurationS < 120
      ? `${maxDurationS} seconds`
      : maxDurationS < 7200
        ? `${maxDurationS / 60} minutes`
        : `${maxDurationS / 3600} hours`
  return { code: 'truncated', message: `The clip is longer than ${length}; the rest was left out.` }
}

/** Byte rate from the `fmt ` chunk, or 0 where the head of the file has none. */
function bytesPerSecond(head: Uint8Array): number {
  const at = head.findIndex((_, i) => FMT.every((byte, k) => head[i + k] === byte))
  const fields = new DataView(head.buffer, head.byteOffset, head.length)
  return at >= 0 && at + 20 <= head.length ? fields.getUint32(at + 16, true) : 0
}

/** `fmt ` in ASCII. */
const FMT = [0x66, 0x6d, 0x74, 0x20]
