import type { DecodedAudio } from '../decode/types.js'
import { InputError } from '../errors.js'

/** Sound of several channels that comes in at one end and is let go of at the other. */
export interface SoundBuffer {
  /** Samples a channel that came in so far. */
  end(): number
  /** A block that is all there is is not copied, nor ever written to. */
  add(audio: DecodedAudio): void
  /** Channels from `from` to `to` − 1, in samples from the start of the recording; shared memory, until the next `add` or `drop`. */
  view(from: number, to: number): Float32Array[]
  /** Lets go of everything before `from`; of all of it, its memory too. */
  drop(from: number): void
}

/** Room is made for so many times what is there: sound is hardly ever moved, and memory costs nothing until it is written to. Chosen. */
const AHEAD = 16

/**
 * @param first samples a channel that it makes room for at most before there are as many
 * @param usual samples a channel that it has room for once it has let go of some
 * @throws {InputError} `unreadable`, from `add`, when rate or number of channels change
 */
export function soundBuffer(rateHz: number, channelCount: number, first: number, usual: number): SoundBuffer {
  let columns: Float32Array[] = Array.from({ length: channelCount }, () => new Float32Array(0))
  let start = 0
  let end = 0
  let isBorrowed = false
  const makeRoom = (count: number): void => {
    if (end - start + count <= columns[0]!.length) return
    const needed = end - start + count
    const length = Math.max(needed, Math.min(AHEAD * needed, first))
    columns = columns.map((old) => {
      const grown = new Float32Array(length)
      grown.set(old.subarray(0, end - start))
      return grown
    })
    isBorrowed = false
  }
  return {
    end: () => end,
    add({ channels, rateHz: ownRateHz, totalS = Infinity }) {
      if (channels.length !== channelCount || ownRateHz !== rateHz) {
        const message = 'the sample rate or the number of channels changes within the file'
        throw new InputError('unreadable', message, 'cut it there: ffmpeg -i in.m4a -ac 1 -ar 48000 out.wav')
      }
      const count = channels[0]!.length
      if (channels.some(({ length }) => length !== count))
        throw new InputError('unreadable', 'the channels are not equally long', 'export the clip again')
      if (end === 0 && count >= Math.floor(totalS * rateHz)) {
        columns = [...channels]
        isBorrowed = true
      } else {
        makeRoom(count)
        channels.forEach((samples, c) => {
          columns[c]!.set(samples, end - start)
        })
      }
      end += count
    },
    view: (from, to) => columns.map((samples) => samples.subarray(from - start, to - start)),
    drop(from) {
      const gone = from - start
      if (gone <= 0) return
      const left = Math.max(0, end - from)
      if (left === 0) columns = columns.map(() => new Float32Array(0))
      else if (isBorrowed) columns = columns.map((samples) => samples.subarray(gone))
      else if (columns[0]!.length > usual && left <= usual)
        columns = columns.map((old) => {
          const shorter = new Float32Array(usual)
          shorter.set(old.subarray(gone, end - start))
          return shorter
        })
      else for (const samples of columns) samples.copyWithin(0, gone, end - start)
      start = from
    },
  }
}
