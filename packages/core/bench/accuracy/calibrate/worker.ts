import { messageOf } from '../outcome.js'
import { type HeardClip, hearClip } from './hear.js'

/** What comes back for a clip: what was heard, or why not. */
export type Answer = HeardClip | { readonly error: string }

/** Child process of `pool.ts`: a path comes in as `{ path }`, what was heard goes out. */
process.on('message', ({ path }: { path: string }) => process.send?.(answerTo(path)))
process.on('disconnect', () => process.exit())

function answerTo(path: string): Answer {
  try {
    return hearClip(path)
  } catch (error) {
    return { error: `${path}: ${messageOf(error)}` }
  }
}
