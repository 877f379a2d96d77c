import { type Recording, toRecording } from '@everyrev/core'
import { gather, type SoundBlocks } from '../io/blocks.js'
import { MOST_SOUND_S } from './sound.js'

/** Keeps as much of the beginning of a sound as a page can hold, while all of it is listened to. */
export class SoundHead {
  readonly #blocks: Awaited<ReturnType<typeof gather>>[] = []
  #lengthS = 0

  /** Hands the blocks on. */
  async *of(blocks: SoundBlocks): SoundBlocks {
    for await (const block of blocks) {
      if (this.#lengthS < MOST_SOUND_S) {
        this.#blocks.push(block) // fresh from the decoder, and never written to
        this.#lengthS += (block.channels[0]?.length ?? 0) / block.rateHz
      }
      yield block
    }
  }

  async recording(): Promise<Recording> {
    return toRecording(await gather(this.#blocks))
  }
}
