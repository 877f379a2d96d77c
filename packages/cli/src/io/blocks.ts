import { checkDecoded, type DecodedAudio, OptionError } from '@everyrev/core/hear'
import { tooLongNote } from '../clip/limitLength.js'
import { clockText } from '../render/numbers.js'

/** Decoded sound, block after block; notes may come with any of them, also with one that holds no sound. */
export type SoundBlocks = AsyncIterable<DecodedAudio>

/** Sound handed on at a time, seconds. */
export const BLOCK_S = 10
/** Sound that is there, up to this length, is handed on at once, and then not copied; longer sound in blocks, so that progress shows. Chosen. */
const AT_ONCE_S = 120

/** Sound that is there as a whole, in blocks. */
export async function* inBlocks({ channels, rateHz, notes }: DecodedAudio): SoundBlocks {
  const length = channels[0]?.length ?? 0
  const totalS = length / rateHz
  const size = Math.max(1, totalS <= AT_ONCE_S ? length : Math.ceil(BLOCK_S * rateHz)) // whatever the rate, each block takes it further
  for (let at = 0; at === 0 || at < length; at += size) {
    const part = channels.map((samples) => samples.subarray(at, at + size))
    yield { channels: part, rateHz, notes: at === 0 ? notes : [], totalS }
  }
}

/** Lets through only what no later stage can stumble over; every decoder's blocks come this way. */
export async function* gated(blocks: SoundBlocks): SoundBlocks {
  for await (const block of blocks) {
    checkDecoded(block)
    yield block
  }
}

/** Blocks put together again. */
export async function gather(blocks: SoundBlocks | Iterable<DecodedAudio>): Promise<DecodedAudio> {
  const all: DecodedAudio[] = []
  for await (const block of blocks) all.push(block)
  const { rateHz = 0, channels: { length: count } = [] } =
    all.find(({ channels }) => channels[0]?.length) ?? {}
  const channels = Array.from({ length: count }, (_, c) => {
    const whole = new Float32Array(all.reduce((sum, { channels }) => sum + (channels[c]?.length ?? 0), 0))
    let at = 0
    for (const { channels } of all) {
      whole.set(channels[c] ?? [], at)
      at += channels[c]?.length ?? 0
    }
    return whole
  })
  return { channels, rateHz, notes: all.flatMap(({ notes }) => notes) }
}

/** Waits for the first block, so that what cannot be decoded at all fails here. */
export async function started(blocks: SoundBlocks): Promise<SoundBlocks> {
  const iterator = blocks[Symbol.asyncIterator]()
  const first = await iterator.next()
  return (async function* () {
    try {
      for (let next = first; !next.done; next = await iterator.next()) yield next.value
    } finally {
      await iterator.return?.()
    }
  })()
}

/** Leaves out what goes beyond `maxDurationS`, and says so in a note. */
export async function* cutAfter(maxDurationS: number, blocks: SoundBlocks): SoundBlocks {
  let leftS = maxDurationS
  for await (const block of blocks) {
    const { channels, rateHz } = block
    const frames = Math.round(leftS * rateHz)
    const length = channels[0]?.length ?? 0
    if (length > frames) {
      const notes = [...block.notes, tooLongNote(maxDurationS)]
      yield { channels: channels.map((samples) => samples.slice(0, frames)), rateHz, notes }
      return
    }
    leftS -= length / rateHz
    yield block
  }
}

/**
 * The part of the sound between two times, seconds, with a note that says so.
 *
 * @throws {OptionError} `out-of-range` when the sound ends before it begins
 */
export async function* partOf(blocks: SoundBlocks, fromS: number, toS: number): SoundBlocks {
  let atS = 0
  let isTold = false
  for await (const block of blocks) {
    const { channels, rateHz } = block
    const lengthS = (channels[0]?.length ?? 0) / rateHz
    const frame = (timeS: number) => Math.max(0, Math.round((timeS - atS) * rateHz))
    const part = channels.map((samples) => samples.slice(frame(fromS), Math.min(samples.length, frame(toS))))
    const begins: boolean = !isTold && (part[0]?.length ?? 0) > 0
    const { totalS = Infinity } = block
    const isPart = fromS > 0 || toS < totalS
    const told = begins && isPart ? [partNote(fromS, Math.min(toS, totalS))] : []
    yield { channels: part, rateHz, notes: [...block.notes, ...told] }
    isTold ||= begins
    atS += lengthS
    if (atS >= toS) return
  }
  if (!isTold)
    throw new OptionError(
      'out-of-range',
      `--from: the clip ends at ${clockText(atS)}`,
      'name an earlier time',
    )
}

function partNote(fromS: number, toS: number): DecodedAudio['notes'][number] {
  const end = toS < Infinity ? ` to ${clockText(toS)}` : ''
  const message = `Only the part from ${clockText(fromS)}${end} was listened to; times count from there.`
  return { code: 'part', message }
}
