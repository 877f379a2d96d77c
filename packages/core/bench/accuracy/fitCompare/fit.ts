import { HEARING, type Hearing, WORTH } from '../../../src/compare/constants.js'
import { difference } from '../../../src/compare/difference.js'
import { verdictOf } from '../../../src/compare/verdict.js'
import { mean } from '../summary.js'
import type { HeardChange } from './hear.js'

/** What a setting makes of comparisons with as many clips a side; shares of them, and of turns for the width. */
export interface Judged {
  /** Intervals that hold the truth, and their mean width. */
  readonly held: number
  readonly width: number
  /** Of those without a change called changed, and of those with a change of so much called rightly. */
  readonly called: number
  readonly small: number
  readonly large: number
  /** Called the wrong way. */
  readonly wrong: number
}

/** Changes counted as small and large, share of turns. As in the tables of `npm run accuracy -- compare`. */
const SMALL = 0.03
const LARGE = 0.08

/** What is asked of a setting, with one clip a side and with more: intervals that hold, and calls without a change. */
const LEAST_HELD = 0.94
const MOST_CALLED = 0.05

/** Settings that are tried: all of these with one another. */
const TRIED = {
  baseSd: [0.007, 0.01, 0.014],
  apartSds: [0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6],
  alikeSds: [0.05, 0.1, 0.15, 0.2, 0.25, 0.3],
} as const satisfies Partial<Record<keyof Hearing, readonly number[]>>

/**
 * The setting that tells most changes of those within what is asked; where none is, the one that lacks least.
 *
 * How much one more doubt of a ride in the prior is worth stays as chosen: made rides differ as foreseen, real ones need not.
 */
export function fitHearing(changes: readonly HeardChange[]): Hearing {
  const parts = byClips(changes)
  let best = { hearing: HEARING, cost: Number.POSITIVE_INFINITY }
  for (const baseSd of TRIED.baseSd)
    for (const apartSds of TRIED.apartSds)
      for (const alikeSds of TRIED.alikeSds) {
        const hearing = { ...HEARING, baseSd, apartSds, alikeSds }
        const cost = parts.reduce((sum, part) => sum + costOf(judge(part, hearing)), 0)
        if (cost < best.cost) best = { hearing, cost }
      }
  return best.hearing
}

/** What is not told, and, so dear that it is made up first, what a setting lacks. */
function costOf({ held, called, small, large }: Judged): number {
  return 100 * (Math.max(0, LEAST_HELD - held) + Math.max(0, called - MOST_CALLED)) - (small + large)
}

/** Comparisons of one clip a side, and of more. */
export function byClips(changes: readonly HeardChange[]): HeardChange[][] {
  const counts = [...new Set(changes.map(({ clips }) => clips))].sort((a, b) => a - b)
  return counts.map((count) => changes.filter(({ clips }) => clips === count))
}

/** Judges a setting on comparisons with as many clips; each engine counts as one. */
export function judge(changes: readonly HeardChange[], hearing: Hearing): Judged {
  const sums = {
    held: new Means(),
    width: new Means(),
    called: new Means(),
    small: new Means(),
    large: new Means(),
    wrong: new Means(),
  }
  for (const { shares, truth, engine } of changes) {
    if (!shares) continue
    const { low, high } = difference(shares.before, shares.after, hearing)
    const verdict = verdictOf({ low, high }, WORTH)
    const way = verdict === 'helped' ? -1 : verdict === 'worse' ? 1 : 0
    const size = Math.abs(truth)
    sums.held.add(engine, low <= truth && truth <= high ? 1 : 0)
    sums.width.add(engine, high - low)
    if (size < 0.001) sums.called.add(engine, Math.abs(way))
    if (size < SMALL) continue
    sums[size < LARGE ? 'small' : 'large'].add(engine, way === Math.sign(truth) ? 1 : 0)
    sums.wrong.add(engine, way === -Math.sign(truth) ? 1 : 0)
  }
  const of = (name: keyof typeof sums): number => sums[name].mean
  return {
    held: of('held'),
    width: of('width'),
    called: of('called'),
    small: of('small'),
    large: of('large'),
    wrong: of('wrong'),
  }
}

/** A mean over engines of their means. */
class Means {
  private readonly values = new Map<string, number[]>()

  add(engine: string, value: number): void {
    this.values.set(engine, [...(this.values.get(engine) ?? []), value])
  }
  get mean(): number {
    return this.values.size > 0 ? mean([...this.values.values()].map(mean)) : 0
  }
}
