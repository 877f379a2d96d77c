import { missingFoldEars } from './ears.js'
import { type Figures, figuresOf } from './figures.js'
import { judgeAll } from './judgeAll.js'
import { TABLE_SEED } from './options.js'
import { recordingsPresent } from './recordings.js'
import { SUITES, tasksOf } from './tasks.js'

const JOBS = 2

/**
 * Figures of a slice of `npm run accuracy` small enough for every check of a change: what floors.json is held against.
 *
 * @throws {Error} naming the clips on which the analysis threw
 */
export async function figuresOfSlice(): Promise<Figures> {
  const tasks = tasksOf({
    suites: SUITES.filter((suite) => suite !== 'rough'),
    conditions: ['easy', 'hard'],
    seeds: 2,
    seedBase: TABLE_SEED,
    twins: 3,
    negatives: 2,
    recordings: recordingsPresent() && missingFoldEars().length === 0,
    rough: [],
  })
  const outcomes = await judgeAll(tasks, JOBS)
  const thrown = outcomes.flatMap(({ task, error }) => (error === null ? [] : [`${task.name}: ${error}`]))
  if (thrown.length > 0) throw new Error(thrown.join('\n'))
  return figuresOf(outcomes)
}
