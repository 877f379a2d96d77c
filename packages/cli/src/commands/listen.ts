import type { Analysis } from '@everyrev/core'
import { startProgress } from './progress.js'

export interface ListenOptions {
  readonly expectRpm?: readonly [number, number]
  readonly progress: boolean
}

/** Reads a clip (`-`: standard input) and analyses it, with a progress line on the terminal if that takes a while. */
export async function listen(clip: string, options: ListenOptions): Promise<Analysis> {
  const progress = startProgress(process.stderr, options.progress)
  try {
    throw new Error(`${clip}: not wired`)
  } finally {
    progress.done()
  }
}
