import type { Analysis } from '@everyrev/core'
import { lengthText } from '../render/numbers.js'
import { startProgress } from './progress.js'
import { refusedAnalysis } from './refused.js'

export interface ListenOptions {
  readonly expectRpm?: readonly [number, number]
  readonly progress: boolean
  /** See {@link readClip}. */
  readonly maxDurationS?: number
}

/** Sound of this length, in seconds, takes about a second to analyse. Measured on a slow two-core machine. */
const LONG_S = 5

/** Reads a clip (`-`: standard input) and analyses it, with a progress line on the terminal if that takes a while. */
export async function listen(clip: string, options: ListenOptions): Promise<Analysis> {
  const progress = startProgress(process.stderr, options.progress)
  try {
    progress.later('reading the clip ...')
    const [{ analyze }, { readClip }] = await Promise.all([
      import('@everyrev/core'),
      import('../io/readClip.js'),
    ])
    const { maxDurationS } = options
    const recording = await readClip(clip, maxDurationS === undefined ? {} : { maxDurationS })
    const lengthS = recording.samples.length / recording.rateHz
    if (lengthS > LONG_S) progress.now(`listening to ${lengthText(lengthS)} of sound ...`)
    return analyze(recording, options.expectRpm ? { expectRpm: options.expectRpm } : {})
  } catch (error) {
    return refusedAnalysis(error)
  } finally {
    progress.done()
  }
}
