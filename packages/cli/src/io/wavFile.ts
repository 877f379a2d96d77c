import { closeSync, openSync, readSync } from 'node:fs'
import { type OpenWav, openWav } from '@everyrev/core/hear'
import { BLOCK_S, type SoundBlocks } from './blocks.js'

/** Bytes read at a time at most: many channels of a high rate come in shorter blocks. */
const BLOCK_BYTES = 2 ** 24

/**
 * Reads a WAV file from disk block by block, so that hours of it take no more memory than a few seconds.
 *
 * @throws {InputError} from the first block, as `decodeWav`
 */
export async function* readWavFile(path: string, sizeBytes: number): SoundBlocks {
  const file = openSync(path, 'r')
  try {
    const wav = openWav({ size: sizeBytes, bytes: (at, count) => readAt(file, at, count) })
    yield* blocksOf(wav)
  } finally {
    closeSync(file)
  }
}

async function* blocksOf(wav: OpenWav): SoundBlocks {
  const { rateHz, channels, frames, notes } = wav
  const size = Math.max(1, Math.floor(Math.min(BLOCK_S * rateHz, BLOCK_BYTES / channels / 8)))
  for (let at = 0; at < frames; at += size)
    yield { channels: wav.read(at, size), rateHz, notes: at === 0 ? notes : [], totalS: frames / rateHz }
}

function readAt(file: number, at: number, count: number): Uint8Array {
  const bytes = Buffer.allocUnsafe(count)
  let read = 0
  while (read < count) {
    const more = readSync(file, bytes, read, count - read, at + read)
    if (more === 0) break
    read += more
  }
  return bytes.subarray(0, read)
}
