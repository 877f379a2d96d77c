import { messageOf } from '../outcome.js'
import { type HeardChange, hearChange } from './hear.js'

/** What is asked for: the clips of one engine. */
export interface Order {
  readonly path: string
  /** On each side. */
  readonly clips: number
}

/** What comes back: every comparison of its clips, or why not. */
export type Answer = readonly HeardChange[] | { readonly error: string }

/** Child process of `pool.ts`. */
process.on('message', (order: Order) => process.send?.(answerTo(order)))
process.on('disconnect', () => process.exit())

function answerTo({ path, clips }: Order): Answer {
  try {
    return hearChange(path, clips)
  } catch (error) {
    return { error: `${path}: ${messageOf(error)}` }
  }
}
