import { availableParallelism } from 'node:os'
import { parseArgs } from 'node:util'
import { TABLE_SEED, wholeNumber, words } from '../options.js'
import type { PairTask } from './outcome.js'
import type { Change, Source } from './types.js'

export const HELP = `How well comparisons do, measured on generated pairs of before and after

npm run accuracy -- compare [options]
  --pairs N          pairs in all, shared by the simulators (default 344)
  --simulators LIST  of first, second (default: both)
  --seed-base N      first seed (default 9000)
  --jobs N           worker processes (default: one per core, at most 2)
  --markdown         tables as Markdown
  --verbose          one line per pair, on stderr
  --json FILE        every pair's figures
  --keep DIR         keeps what was heard, and compares what is there without hearing it again: for trying another compare
`

export interface PairOptions {
  readonly pairs: number
  readonly simulators: readonly Source[]
  readonly seedBase: number
  readonly jobs: number
  readonly markdown: boolean
  readonly verbose: boolean
  readonly json: string | null
  readonly keep: string | null
}

const SIMULATORS: readonly Source[] = ['first', 'second']

/** Reads the command line after `compare`; null when help was asked for. Throws with one clear line otherwise. */
export function readPairOptions(argv: readonly string[]): PairOptions | null {
  const { values } = parseArgs({
    args: [...argv],
    options: {
      pairs: { type: 'string', default: '344' },
      simulators: { type: 'string', default: SIMULATORS.join(',') },
      'seed-base': { type: 'string', default: String(TABLE_SEED) },
      jobs: { type: 'string', default: String(Math.min(2, availableParallelism())) },
      markdown: { type: 'boolean', default: false },
      verbose: { type: 'boolean', default: false },
      json: { type: 'string' },
      keep: { type: 'string' },
      help: { type: 'boolean', default: false },
    },
  })
  if (values.help) return null
  return {
    pairs: wholeNumber(values.pairs, '--pairs'),
    simulators: words(values.simulators, '--simulators', (word) =>
      SIMULATORS.includes(word as Source),
    ) as Source[],
    seedBase: wholeNumber(values['seed-base'], '--seed-base'),
    jobs: Math.max(1, wholeNumber(values.jobs, '--jobs')),
    markdown: values.markdown,
    verbose: values.verbose,
    json: values.json ?? null,
    keep: values.keep ?? null,
  }
}

/** Pairs of each kind among 43. */
const SHARES: readonly (readonly [Change, number])[] = [
  ['none', 14],
  ['small', 12],
  ['large', 12],
  ['speeds', 3],
  ['twins', 2],
]

/** All pairs of a run, the kinds mixed, each kind and simulator with seeds of its own from the first on. */
export function pairTasks({
  pairs,
  simulators,
  seedBase,
}: Pick<PairOptions, 'pairs' | 'simulators' | 'seedBase'>): PairTask[] {
  const round = SHARES.flatMap(([change, count]) => Array.from({ length: count }, () => change))
  const next = new Map<string, number>()
  return Array.from({ length: pairs }, (_, i) => {
    const source = simulators[i % simulators.length]!
    // A step that shares no factor with the round mixes the kinds: a part of a run has about the shares of the whole.
    const change = round[(Math.floor(i / simulators.length) * 16) % round.length]!
    const key = `${source} ${change}`
    const seed = next.get(key) ?? seedBase
    next.set(key, seed + 1)
    return { source, change, seed }
  })
}
