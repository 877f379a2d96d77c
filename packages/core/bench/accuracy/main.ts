/**
 * `npm run accuracy`: how well the detector does on simulated and real clips. Prints tables; writes what `--json` and
 * `--keep` name. See HELP in options.ts.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { recordingsPresent } from '../../test/reference/recordings/load.js'
import { scoreNext } from '../next/main.js'
import { reportAgainst } from './against.js'
import { clipLine } from './clipLine.js'
import { type CrossValidation, crossValidate } from './folds/crossValidate.js'
import { reportFolds } from './folds/report.js'
import { type BenchOptions, HELP, readOptions, seedsInWords } from './options.js'
import { failed, type Outcome } from './outcome.js'
import { comparePairs } from './pairs/main.js'
import { runTasks } from './pool.js'
import { buildIsStale, commitName, keepSummary } from './provenance.js'
import { reportNegatives, reportReal, reportSimulated, reportTwins } from './report.js'
import { summariseSimulated } from './summary.js'
import { tasksOf } from './tasks.js'

const WORK = { file: fileURLToPath(new URL('./worker.ts', import.meta.url)), died: failed }

async function main(options: BenchOptions): Promise<void> {
  if (buildIsStale()) console.error('note: sources of core are newer than its build; npm run build')
  const recordings = options.suites.includes('real') && recordingsPresent()
  const tasks = tasksOf({ ...options, recordings })
  const startedAt = performance.now()
  const outcomes = await runTasks(WORK, tasks, options.jobs, (outcome, done) => {
    if (options.verbose) console.error(clipLine(outcome))
    else if (process.stderr.isTTY) process.stderr.write(`\r${done} of ${tasks.length} clips`)
  })
  if (process.stderr.isTTY && !options.verbose) process.stderr.write('\r\x1b[K')
  const tookS = (performance.now() - startedAt) / 1000
  console.log(`commit ${commitName()}, ${seedsInWords(options)}, ${speedInWords(outcomes, tookS)}`)
  if (options.suites.includes('real') && !recordings) console.log('\nReal: skipped: recordings not found')
  const refitted = recordings && options.refit ? await crossValidate(options.jobs) : null
  for (const section of sectionsOf(outcomes, refitted, options)) console.log(`\n${section}`)
  const errors = outcomes.filter(({ error }) => error !== null)
  if (errors.length > 0) console.log(`\n${errors.length} clips threw; the first: ${clipLine(errors[0]!)}`)
  if (options.against) {
    const { outcomes: before } = JSON.parse(readFileSync(options.against, 'utf8')) as { outcomes: Outcome[] }
    console.log(`\nAgainst ${options.against}\n\n${reportAgainst(outcomes, before, options.markdown)}`)
  }
  if (options.json)
    writeFileSync(options.json, `${JSON.stringify({ commit: commitName(), options, outcomes })}\n`)
  if (options.keep) console.log(`\nkept in ${keepSummary(options, outcomes)}`)
}

function sectionsOf(
  outcomes: readonly Outcome[],
  refitted: CrossValidation | null,
  options: BenchOptions,
): string[] {
  const of = (suite: string) => outcomes.filter(({ task }) => task.suite === suite)
  const sections: string[] = []
  if (of('real').length > 0) sections.push(reportReal(of('real'), options))
  if (refitted) sections.push(reportFolds(refitted, options))
  for (const [suite, title] of [
    ['simulated', 'First simulator (drawn pulses; used for tuning)'],
    ['second', 'Second simulator (gas dynamics; for testing only)'],
  ] as const)
    if (of(suite).length > 0) sections.push(reportSimulated(title, summariseSimulated(of(suite)), options))
  if (of('twins').length > 0) sections.push(reportTwins(of('twins'), options))
  if (of('negatives').length > 0) sections.push(reportNegatives(of('negatives'), options))
  return sections
}

function speedInWords(outcomes: readonly Outcome[], tookS: number): string {
  const soundS = outcomes.reduce((sum, { clipS }) => sum + clipS, 0)
  const analysisS = outcomes.reduce((sum, o) => sum + o.analysisS, 0)
  const perMinute = ((60 * analysisS) / soundS).toFixed(1)
  return `${outcomes.length} clips in ${tookS.toFixed(0)} s, analysis ${perMinute} s per minute of sound`
}

try {
  const argv = process.argv.slice(2)
  if (argv[0] === 'compare') await comparePairs(argv.slice(1))
  else if (argv[0] === 'next') scoreNext(argv.slice(1))
  else {
    const options = readOptions(argv)
    if (options) await main(options)
    else console.log(HELP)
  }
} catch (error) {
  console.error(error instanceof Error ? error.message : error)
  process.exitCode = 2
}
