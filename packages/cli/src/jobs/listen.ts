import { refusedAnalysis } from '../clip/refusedAnalysis.js'
import { partOf, type SoundBlocks } from '../io/blocks.js'
import { type Progress, startProgress } from '../io/progress.js'
import { listeningText } from '../render/progressText.js'
import type { WithHead } from '../report/sound.js'

export interface ListenOptions {
  readonly expectRpm?: readonly [number, number]
  readonly progress: boolean
  /** Part of the clip to listen to, seconds from its start; all of it by default. */
  readonly fromS?: number
  readonly toS?: number
  /** Keep as much of a long recording's sound as a page can play. */
  readonly keepHead?: boolean
  /** This and the following: see {@link openSound}. */
  readonly maxDurationS?: number
  readonly filesOnly?: boolean
  readonly memoryMb?: number
}

/** Sound of this length, in seconds, takes about a second to analyse. Measured on a slow two-core machine. */
const LONG_S = 20

/** Hands blocks on, and tells how much sound has come. */
async function* told(blocks: SoundBlocks, progress: Progress): SoundBlocks {
  let lengthS = 0
  const startMs = performance.now()
  for await (const block of blocks) {
    lengthS += (block.channels[0]?.length ?? 0) / block.rateHz
    if (lengthS > LONG_S || (block.totalS ?? 0) > LONG_S)
      progress.now(listeningText(lengthS, block.totalS, (performance.now() - startMs) / 1000))
    yield block
  }
}

/** Reads a clip (`-`: standard input) and analyses it, with a progress line on the terminal if that takes a while. */
export async function listen(clip: string, options: ListenOptions): Promise<WithHead> {
  const progress = startProgress(process.stderr, options.progress)
  try {
    progress.later('reading the clip ...')
    const [{ analyzeStream }, { openSound }] = await Promise.all([
      import('@everyrev/core/hear'),
      import('../io/readClip.js'),
    ])
    const { expectRpm, keepHead, maxDurationS, filesOnly, memoryMb, fromS = 0, toS = Infinity } = options
    const sound = await openSound(clip, { maxDurationS, filesOnly, memoryMb })
    const blocks = fromS > 0 || toS < Infinity ? partOf(sound, fromS, toS) : sound
    const head = keepHead ? new (await import('../report/soundHead.js')).SoundHead() : null
    const heard = told(head ? head.of(blocks) : blocks, progress)
    const analysis = await analyzeStream(heard, expectRpm ? { expectRpm } : {})
    return head && analysis.recording.samples.length === 0
      ? { ...analysis, head: await head.recording() }
      : analysis
  } catch (error) {
    return refusedAnalysis(error)
  } finally {
    progress.done()
  }
}
