/**
 * `npm run accuracy`: how well the ear does on simulated and real clips that it has never heard. Prints tables; writes
 * what `--json` and `--keep` name. See HELP in options.ts.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { scoreNext } from '../next/main.js'
import { reportAgainst } from './against.js'
import { clipLine } from './clipLine.js'
import { requireFoldEars } from './ears.js'
import { figuresOf } from './figures.js'
import { judgeAll } from './judgeAll.js'
import { type BenchOptions, HELP, readOptions } from './options.js'
import type { Outcome } from './outcome.js'
import { comparePairs } from './pairs/main.js'
import { tellProgress } from './pool.js'
import { commitName, earsOf, keepSummary } from './provenance.js'
import { recordingsPresent } from './recordings.js'
import {
  figuresTable,
  reportFigures,
  reportFixtures,
  reportNegatives,
  reportSimulated,
  reportTwins,
} from './report.js'
import { reportReal } from './reportReal.js'
import { reportRough } from './reportRough.js'
import { HARDSHIPS, ROUGHENINGS, type RoughKind } from './rough/kinds.js'
import { findTools, lacking } from './rough/tools.js'
import { summariseSimulated } from './summary.js'
import { tasksOf } from './tasks.js'
import { whyNoDocs, writeDocs } from './writeDocs.js'

async function main(options: BenchOptions): Promise<void> {
  const wanted = options.suites.includes('real') || options.suites.includes('rough')
  const recordings = wanted && recordingsPresent()
  if (recordings) requireFoldEars()
  const skipped = wanted && !recordings ? ['Real, rough: skipped: recordings not found'] : []
  const rough = recordings && options.suites.includes('rough') ? roughKinds(skipped) : []
  const why = options.docs ? whyNoDocs(options, rough) : null
  if (why) throw new Error(why)
  const tasks = tasksOf({ ...options, recordings, rough })
  const startedAt = performance.now()
  const outcomes = await judgeAll(tasks, options.jobs, (outcome, done) => {
    if (options.verbose) console.error(clipLine(outcome))
    else tellProgress(done, tasks.length, 'clips')
  })
  const tookS = (performance.now() - startedAt) / 1000
  const ears = earsOf(outcomes)
  console.log(`commit ${commitName()}, seeds from ${options.seedBase} on, ${speedInWords(outcomes, tookS)}`)
  for (const [name, version] of Object.entries(ears).sort()) console.log(`ear ${name}: ${version}`)
  for (const line of skipped) console.log(`\n${line}`)
  const sections = sectionsOf(outcomes, options)
  const figures = figuresOf(outcomes)
  for (const section of [...sections, reportFigures(figures, options)]) console.log(`\n${section}`)
  const errors = outcomes.filter(({ error }) => error !== null)
  if (errors.length > 0) console.log(`\n${errors.length} clips threw; the first: ${clipLine(errors[0]!)}`)
  if (options.against) {
    const { outcomes: before } = JSON.parse(readFileSync(options.against, 'utf8')) as { outcomes: Outcome[] }
    console.log(`\nAgainst ${options.against}\n\n${reportAgainst(outcomes, before, options.markdown)}`)
  }
  if (options.json)
    writeFileSync(options.json, `${JSON.stringify({ commit: commitName(), ears, options, outcomes })}\n`)
  if (options.keep) console.log(`\nkept in ${keepSummary(options, outcomes)}`)
  if (!options.docs) return
  if (errors.length > 0) throw new Error('--docs: nothing is written while clips throw')
  writeDocs(ears.shipped!, new Date().toISOString().slice(0, 10), sections, figuresTable(figures, true))
}

/** Roughenings that this machine can make; adds why not for the others. */
function roughKinds(skipped: string[]): RoughKind[] {
  const kinds: readonly RoughKind[] = [...ROUGHENINGS, ...HARDSHIPS]
  for (const kind of kinds) {
    const why = lacking(kind)
    if (why) skipped.push(`Rough, ${kind}: skipped: ${why}`)
  }
  if (!findTools().speaker) skipped.push('Rough, speech: made here, for want of ffmpeg and espeak-ng')
  return kinds.filter((kind) => lacking(kind) === null)
}

function sectionsOf(outcomes: readonly Outcome[], options: BenchOptions): string[] {
  const of = (suite: string) => outcomes.filter(({ task }) => task.suite === suite)
  const sections: string[] = []
  if (of('real').length > 0) sections.push(reportReal(of('real'), options))
  if (of('rough').length > 0) sections.push(reportRough(of('rough'), options))
  for (const [suite, title] of [
    ['simulated', 'First simulator (drawn pulses; for testing only)'],
    ['second', 'Second simulator (gas dynamics; for testing only)'],
  ] as const)
    if (of(suite).length > 0) sections.push(reportSimulated(title, summariseSimulated(of(suite)), options))
  if (of('twins').length > 0) sections.push(reportTwins(of('twins'), options))
  if (of('negatives').length > 0) sections.push(reportNegatives(of('negatives'), options))
  if (of('fixtures').length > 0) sections.push(reportFixtures(of('fixtures'), options))
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
  else if (argv[0] === 'next' && !argv.includes('--help')) scoreNext(argv.slice(1))
  else {
    const options = argv.includes('--help') ? null : readOptions(argv)
    if (options) await main(options)
    else console.log(HELP)
  }
} catch (error) {
  console.error(error instanceof Error ? error.message : error)
  process.exitCode = 2
}
