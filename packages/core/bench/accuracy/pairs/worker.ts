import { messageOf } from '../outcome.js'
import { judgePair } from './judgePair.js'
import { failedPair, type PairTask } from './outcome.js'

/** Child process of the pool: a pair comes in, what became of it goes out. */
process.on('message', (task: PairTask) => {
  try {
    process.send?.(judgePair(task))
  } catch (error) {
    process.send?.(failedPair(task, messageOf(error)))
  }
})
process.on('disconnect', () => process.exit())
