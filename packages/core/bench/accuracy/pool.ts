import { createRequire } from 'node:module'
import { pathToFileURL } from 'node:url'
import { Tinypool } from 'tinypool'

/** Children run TypeScript, also when this process is a test runner's. */
const EXEC_ARGV = ['--import', pathToFileURL(createRequire(import.meta.url).resolve('tsx')).href]

/** What child processes do: the function, by file and name, that answers a task, and the outcome when it throws or its process dies. */
export interface Work<Task, Outcome> {
  readonly file: URL
  readonly name: string
  readonly failed: (task: Task, why: string) => Outcome
}

/**
 * Does all tasks in `jobs` child processes.
 *
 * @param onOutcome called after each task with the number done so far
 * @returns outcomes in the order of the tasks
 */
export async function runTasks<Task, Outcome>(
  { file, name, failed }: Work<Task, Outcome>,
  tasks: readonly Task[],
  jobs: number,
  onOutcome: (outcome: Outcome, done: number) => void = () => {},
): Promise<Outcome[]> {
  const pool = new Tinypool({
    filename: file.href,
    name,
    runtime: 'child_process',
    execArgv: EXEC_ARGV,
    minThreads: 0,
    maxThreads: jobs,
    env: process.env as Record<string, string>,
    serialization: 'advanced',
  })
  let done = 0
  const run = async (task: Task): Promise<Outcome> => {
    const outcome: Outcome = await pool
      .run(task)
      .catch((error: Error) => failed(task, error.stack ?? error.message))
    onOutcome(outcome, ++done)
    return outcome
  }
  const outcomes = await Promise.all(tasks.map(run))
  await pool.destroy()
  return outcomes
}

/** Tells on a terminal how many of `total` tasks are done; the line is wiped with the last. */
export function tellProgress(done: number, total: number, what: string): void {
  if (!process.stderr.isTTY) return
  process.stderr.write(done < total ? `\r${done} of ${total} ${what}` : '\r\x1b[K')
}
