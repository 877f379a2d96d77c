import { type ChildProcess, fork } from 'node:child_process'
import { createRequire } from 'node:module'
import { pathToFileURL } from 'node:url'

/** Children run TypeScript, also when this process is a test runner's. */
const RUN = { execArgv: ['--import', pathToFileURL(createRequire(import.meta.url).resolve('tsx')).href] }

/** What child processes do: the file that answers each task with an outcome, and the outcome when a child dies over one. */
export interface Work<Task, Outcome> {
  readonly file: string
  readonly died: (task: Task, why: string) => Outcome
}

/**
 * Does all tasks in `jobs` child processes.
 *
 * @param onOutcome called after each task with the number done so far
 * @returns outcomes in the order of the tasks
 */
export async function runTasks<Task, Outcome>(
  work: Work<Task, Outcome>,
  tasks: readonly Task[],
  jobs: number,
  onOutcome: (outcome: Outcome, done: number) => void,
): Promise<Outcome[]> {
  const outcomes = new Array<Outcome>(tasks.length)
  let next = 0
  let done = 0
  const drain = async () => {
    let child: ChildProcess | null = null
    while (next < tasks.length) {
      const index = next++
      if (!child?.connected) child = fork(work.file, { ...RUN, serialization: 'advanced' })
      const outcome = await askChild(child, tasks[index]!, work)
      outcomes[index] = outcome
      onOutcome(outcome, ++done)
    }
    child?.disconnect()
  }
  await Promise.all(Array.from({ length: Math.min(jobs, tasks.length) }, drain))
  return outcomes
}

/** One task to one child; a child that dies over it makes a failed outcome. */
function askChild<Task, Outcome>(
  child: ChildProcess,
  task: Task,
  { died }: Work<Task, Outcome>,
): Promise<Outcome> {
  return new Promise((resolve) => {
    const onMessage = (outcome: unknown) => {
      child.off('exit', onExit)
      resolve(outcome as Outcome)
    }
    const onExit = (code: number | null, signal: string | null) => {
      child.off('message', onMessage)
      resolve(died(task, `the worker ended with ${signal ?? code}`))
    }
    child.once('message', onMessage)
    child.once('exit', onExit)
    child.send(task as object)
  })
}
