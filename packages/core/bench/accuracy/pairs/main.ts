import { writeFileSync } from 'node:fs'
import { seedsInWords } from '../options.js'
import { runTasks, tellProgress } from '../pool.js'
import { commitName } from '../provenance.js'
import type { PairOrder } from './judgePair.js'
import { HELP, pairTasks, readPairOptions } from './options.js'
import { failedPair } from './outcome.js'
import { pairLine, reportPairs } from './report.js'

/** What a child process does. */
const WORK = {
  file: new URL('./judgePair.ts', import.meta.url),
  name: 'judgePair',
  failed: ({ task }: PairOrder, why: string) => failedPair(task, why),
}

/** `npm run accuracy -- compare`: prints tables; writes what `--json` names. See HELP in options.ts. */
export async function comparePairs(argv: readonly string[]): Promise<void> {
  const options = readPairOptions(argv)
  if (!options) return console.log(HELP)
  const tasks = pairTasks(options)
  const seeds = Math.max(...tasks.map(({ seed }) => seed)) - options.seedBase + 1
  const startedAt = performance.now()
  const outcomes = await runTasks(
    WORK,
    tasks.map((task) => ({ task, folder: options.keep })),
    options.jobs,
    (outcome, done) => {
      if (options.verbose) console.error(pairLine(outcome))
      else tellProgress(done, tasks.length, 'pairs')
    },
  )
  const tookS = (performance.now() - startedAt) / 1000
  const minutes = outcomes.reduce((sum, { clipS }) => sum + clipS, 0) / 60
  console.log(
    `commit ${commitName()}, ${seedsInWords({ ...options, seeds, twins: 0 })}, ` +
      `${tasks.length} pairs in ${tookS.toFixed(0)} s, ${minutes.toFixed(0)} minutes of sound\n`,
  )
  console.log(reportPairs(outcomes, options.markdown))
  const errors = outcomes.filter(({ error }) => error !== null)
  if (errors.length > 0) console.log(`\n${errors.length} pairs threw; the first: ${pairLine(errors[0]!)}`)
  if (options.json)
    writeFileSync(options.json, `${JSON.stringify({ commit: commitName(), options, outcomes })}\n`)
}
