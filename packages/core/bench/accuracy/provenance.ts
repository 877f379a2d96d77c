import { execFileSync } from 'node:child_process'
import { mkdirSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { figuresOf } from './figures.js'
import { foldOf } from './folds.js'
import type { BenchOptions } from './options.js'
import type { Outcome } from './outcome.js'
import { summariseSimulated, summariseTwins } from './summary.js'
import { summariseFolds, summariseReal, summariseRecordings } from './summaryReal.js'
import { summariseRough } from './summaryRough.js'

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

/** Versions of the ears that judged: the shipped one, and one that never heard each fold of the recordings. */
export function earsOf(outcomes: readonly Outcome[]): Record<string, string> {
  const ears: Record<string, string> = {}
  for (const { task, ear } of outcomes)
    if (ear !== null)
      ears[task.source === 'recording' ? `without fold ${foldOf(task.name)}` : 'shipped'] = ear
  return ears
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
    ears: earsOf(outcomes),
    options: { suites, conditions, seeds, seedBase, twins: options.twins, negatives: options.negatives },
    figures: figuresOf(outcomes),
    real: {
      pooled: summariseReal(of('real')),
      folds: Object.fromEntries(summariseFolds(of('real'))),
      recordings: Object.fromEntries(summariseRecordings(of('real'))),
    },
    rough: summariseRough(of('rough')),
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
