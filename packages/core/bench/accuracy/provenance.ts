import { execFileSync } from 'node:child_process'
import { mkdirSync, readdirSync, statSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { BenchOptions } from './options.js'
import type { Outcome } from './outcome.js'
import { summariseSimulated, summariseTwins } from './summary.js'
import { summariseReal, summariseRecordings } from './summaryReal.js'

const CORE = fileURLToPath(new URL('../../', import.meta.url))
const RESULTS = fileURLToPath(new URL('./results/', import.meta.url))

/** Short name of the commit, `+` when sources differ from it, `unknown` outside a repository. */
export function commitName(): string {
  try {
    const git = (...args: string[]) => execFileSync('git', args, { cwd: CORE, encoding: 'utf8' }).trim()
    return git('rev-parse', '--short', 'HEAD') + (git('status', '--porcelain', '--', 'src') ? '+' : '')
  } catch {
    return 'unknown'
  }
}

/** True when a source file of core is newer than the last build. */
export function buildIsStale(): boolean {
  const sources = readdirSync(`${CORE}src`, { recursive: true, encoding: 'utf8' })
  const changed = sources
    .filter((file) => file.endsWith('.ts') && !file.endsWith('.test.ts'))
    .map((file) => statSync(`${CORE}src/${file}`).mtimeMs)
  const built = statSync(`${CORE}.tsbuildinfo`, { throwIfNoEntry: false })?.mtimeMs ?? 0
  return Math.max(...changed) > built
}

/** Writes `results/<date>-<commit>.json`: what was run, and the figures of every table. */
export function keepSummary(options: BenchOptions, outcomes: readonly Outcome[]): string {
  const of = (suite: string) => outcomes.filter(({ task }) => task.suite === suite)
  const twins = (source: string, name: string) =>
    summariseTwins(of('twins').filter(({ task }) => task.source === source && task.name === name))
  const { seeds, seedBase, conditions, suites } = options
  const summary = {
    date: new Date().toISOString(),
    commit: commitName(),
    options: { suites, conditions, seeds, seedBase, twins: options.twins },
    real: {
      pooled: summariseReal(of('real')),
      recordings: Object.fromEntries(summariseRecordings(of('real'))),
    },
    simulated: summariseSimulated(of('simulated')),
    second: summariseSimulated(of('second')),
    twins: Object.fromEntries(
      ['first', 'second'].map((source) => [
        source,
        Object.fromEntries(['alternation-2x', 'clean-half'].map((name) => [name, twins(source, name)])),
      ]),
    ),
    falseEngines: of('negatives')
      .filter(({ verdict }) => verdict === 'measured')
      .map(({ task }) => `${task.name} ${task.seed}`),
  }
  mkdirSync(RESULTS, { recursive: true })
  const file = `${RESULTS}${summary.date.slice(0, 10)}-${summary.commit.replace('+', '-changed')}.json`
  writeFileSync(file, `${JSON.stringify(summary, null, 2)}\n`)
  return file
}
