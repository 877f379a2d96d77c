import { messageOf } from '../outcome.js'
import { judgePair } from './judgePair.js'
import { failedPair, type PairTask } from './outcome.js'

/** What a child process is asked for: a pair, and the folder where heard ones are kept. */
export interface PairOrder {
  readonly task: PairTask
  readonly folder: string | null
}

/** Child process of the pool: a pair comes in, what became of it goes out. */
process.on('message', ({ task, folder }: PairOrder) => {
  try {
    process.send?.(judgePair(task, folder))
  } catch (error) {
    process.send?.(failedPair(task, messageOf(error)))
  }
})
process.on('disconnect', () => process.exit())
