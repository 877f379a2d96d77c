import { messageOf } from '../outcome.js'
import { type FoldTask, failedFold, judgeFold } from './judgeFold.js'

/** Child process of the pool: a clip comes in, its windows and what was made of it go out. */
process.on('message', (task: FoldTask) => {
  judgeFold(task)
    .catch((error: unknown) => failedFold(task, messageOf(error)))
    .then((outcome) => process.send?.(outcome))
})
process.on('disconnect', () => process.exit())
