import { judgeTask } from './judge.js'
import { failed, messageOf } from './outcome.js'
import type { Task } from './tasks.js'

/** Child process of `pool.ts`: a task comes in, its outcome goes out. */
process.on('message', (task: Task) => {
  judgeTask(task)
    .catch((error: unknown) => failed(task, messageOf(error)))
    .then((outcome) => process.send?.(outcome))
})
process.on('disconnect', () => process.exit())
