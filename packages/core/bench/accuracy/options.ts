import { availableParallelism } from 'node:os'
import { parseArgs } from 'node:util'
import { isConditionWord, type Plan, SUITES, type Suite } from './tasks.js'

export const HELP = `How well the ear does on what it has never heard, measured from the sources

npm run accuracy -- [options]
npm run accuracy -- compare [options]   pairs of before and after; --help says more
npm run accuracy -- next [HISTORIES [FIRST SEED]]   simulated tuning histories, 500 from seed 40001
  --only LIST        of ${SUITES.join(', ')} (default: all)
  --conditions LIST  condition names, or easy, hard, more, all (default: easy,hard)
  --seeds N          clips per condition and simulator (default 8)
  --seed-base N      first seed (default 9000)
  --twins N          pairs of twins per simulator (default 50)
  --negatives N      clips of every kind of sound without an engine (default 6)
  --jobs N           worker processes (default: one per core, at most 2)
  --folds            real recordings one by one
  --baseline         also a naive labeller that is given the true turns
  --markdown         tables as Markdown
  --verbose          one line per clip, on stderr
  --json FILE        every clip's figures
  --against FILE     differences to an earlier --json, clip by clip
  --docs             with --markdown alone: into docs/accuracy.md and docs/ear.md too
  --keep             summary to results/<date>-<commit>.json
`

/** First seeds of the table and of fits to comparisons; they must not meet. */
export const TABLE_SEED = 9000

export interface BenchOptions extends Omit<Plan, 'recordings' | 'rough'> {
  readonly jobs: number
  readonly folds: boolean
  readonly baseline: boolean
  readonly markdown: boolean
  readonly verbose: boolean
  readonly json: string | null
  readonly against: string | null
  readonly docs: boolean
  readonly keep: boolean
}

/** Reads the command line; null when help was asked for. Throws with one clear line otherwise. */
export function readOptions(argv: readonly string[]): BenchOptions | null {
  const { values } = parseArgs({
    args: [...argv],
    options: {
      only: { type: 'string', default: SUITES.join(',') },
      conditions: { type: 'string', default: 'easy,hard' },
      seeds: { type: 'string', default: '8' },
      'seed-base': { type: 'string', default: String(TABLE_SEED) },
      twins: { type: 'string', default: '50' },
      negatives: { type: 'string', default: '6' },
      jobs: { type: 'string', default: String(Math.min(2, availableParallelism())) },
      folds: { type: 'boolean', default: false },
      baseline: { type: 'boolean', default: false },
      markdown: { type: 'boolean', default: false },
      verbose: { type: 'boolean', default: false },
      json: { type: 'string' },
      against: { type: 'string' },
      docs: { type: 'boolean', default: false },
      keep: { type: 'boolean', default: false },
      help: { type: 'boolean', default: false },
    },
  })
  if (values.help) return null
  const { folds, baseline, markdown, verbose, docs, keep } = values
  return {
    suites: words(values.only, '--only', (word) => (SUITES as readonly string[]).includes(word)) as Suite[],
    conditions: words(values.conditions, '--conditions', isConditionWord),
    seeds: wholeNumber(values.seeds, '--seeds'),
    seedBase: wholeNumber(values['seed-base'], '--seed-base'),
    twins: wholeNumber(values.twins, '--twins'),
    negatives: wholeNumber(values.negatives, '--negatives'),
    jobs: Math.max(1, wholeNumber(values.jobs, '--jobs')),
    ...{ folds, baseline, markdown, verbose, docs, keep },
    json: values.json ?? null,
    against: values.against ?? null,
  }
}

/** What the seeds are for, in words. */
export function seedsInWords({
  seedBase,
  seeds,
  twins,
}: Pick<BenchOptions, 'seedBase' | 'seeds' | 'twins'>): string {
  const last = seedBase + Math.max(seeds, twins) - 1
  const use = seedBase >= TABLE_SEED ? 'kept for the table' : last < TABLE_SEED ? 'for tuning' : 'MIXED USE'
  return `seeds from ${seedBase} on (${use})`
}

/** Reads a list of known words; throws with one clear line otherwise. */
export function words(list: string, option: string, known: (word: string) => boolean): string[] {
  const all = list.split(',').filter(Boolean)
  const unknown = all.find((word) => !known(word))
  if (unknown) throw new Error(`${option}: "${unknown}" is not known; --help lists what is`)
  return all
}

/** Reads a whole number; throws with one clear line otherwise. */
export function wholeNumber(text: string, option: string): number {
  if (!/^\d+$/.test(text)) throw new Error(`${option}: "${text}" is not a whole number`)
  return Number(text)
}
