import { type ChildProcess, fork } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { failed, type Outcome } from './outcome.js'
import type { Task } from './tasks.js'

const WORKER = fileURLToPath(new URL('./worker.ts', import.meta.url))

/**
 * Judges all tasks in `jobs` child processes.
 *
 * @param onOutcome called after each clip with the number done so far
 * @returns outcomes in the order of the tasks
 */
export async function runTasks(
  tasks: readonly Task[],
  jobs: number,
  onOutcome: (outcome: Outcome, done: number) => void,
): Promise<Outcome[]> {
  const outcomes = new Array<Outcome>(tasks.length)
  let next = 0
  let done = 0
  const work = async () => {
    let child: ChildProcess | null = null
    while (next < tasks.length) {
      const index = next++
      child ??= fork(WORKER, { serialization: 'advanced' })
      const outcome = await askChild(child, tasks[index]!)
      if (outcome.error !== null && !child.connected) child = null
      outcomes[index] = outcome
      onOutcome(outcome, ++done)
    }
    child?.disconnect()
  }
  await Promise.all(Array.from({ length: Math.min(jobs, tasks.length) }, work))
  return outcomes
}

/** One task to one child; a child that dies over it makes a failed outcome. */
function askChild(child: ChildProcess, task: Task): Promise<Outcome> {
  return new Promise((resolve) => {
    const onMessage = (outcome: unknown) => {
      child.off('exit', onExit)
      resolve(outcome as Outcome)
    }
    const onExit = (code: number | null, signal: string | null) => {
      child.off('message', onMessage)
      resolve(failed(task, `the worker ended with ${signal ?? code}`))
    }
    child.once('message', onMessage)
    child.once('exit', onExit)
    child.send(task)
  })
}
