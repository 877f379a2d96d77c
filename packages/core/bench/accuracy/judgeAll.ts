import { failed, type Outcome } from './outcome.js'
import { runTasks } from './pool.js'
import type { Task } from './tasks.js'

const WORK = { file: new URL('./judge.ts', import.meta.url), name: 'judgeTask', failed }

/** Judges all clips in `jobs` child processes; see {@link runTasks}. */
export const judgeAll = (
  tasks: readonly Task[],
  jobs: number,
  onOutcome?: (outcome: Outcome, done: number) => void,
): Promise<Outcome[]> => runTasks(WORK, tasks, jobs, onOutcome)
