import { HEARING, type Hearing, WORTH } from '../../../src/compare/constants.js'
import { difference } from '../../../src/compare/difference.js'
import { verdictOf } from '../../../src/compare/verdict.js'
import { student95 } from '../../../src/math/student.js'
import { mean } from '../summary.js'
import type { HeardChange } from './hear.js'

/** What a setting makes of comparisons with as many clips a side; shares of them, and of turns for the width. */
export interface Judged {
  /** How unlikely the truths are by these intervals: lower is better. */
  readonly score: number
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

/** Settings that are tried: all of these with one another. */
const TRIED = {
  baseSd: [0.007, 0.01, 0.014],
  apartSds: [0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1],
  alikeSds: [0.03, 0.04, 0.05, 0.06, 0.08, 0.1, 0.12, 0.15, 0.2],
} as const satisfies Partial<Record<keyof Hearing, readonly number[]>>

/**
 * The setting with the best logarithmic score, with one clip a side and with more.
 *
 * The freedom stays as chosen: made rides differ as foreseen, real ones need not.
 *
 * @see Gneiting & Raftery, "Strictly Proper Scoring Rules, Prediction, and Estimation", JASA 102 (2007), section 4.1
 */
export function fitHearing(changes: readonly HeardChange[]): Hearing {
  const parts = byClips(changes)
  let best = { hearing: HEARING, cost: Number.POSITIVE_INFINITY }
  for (const baseSd of TRIED.baseSd)
    for (const apartSds of TRIED.apartSds)
      for (const alikeSds of TRIED.alikeSds) {
        const hearing = { ...HEARING, baseSd, apartSds, alikeSds }
        const cost = parts.reduce((sum, part) => sum + judge(part, hearing).score, 0)
        if (cost < best.cost) best = { hearing, cost }
      }
  return best.hearing
}

/** Minus the logarithm of how likely a truth is, but for a constant: Student's t about the value, as wide as the interval. */
function surprise(error: number, reach: number): number {
  const freedom = 2 * HEARING.priorFreedom
  const t = (error / reach) * student95(freedom)
  return Math.log(reach) + ((freedom + 1) / 2) * Math.log1p(t ** 2 / freedom)
}

/** Comparisons of one clip a side, and of more. */
export function byClips(changes: readonly HeardChange[]): HeardChange[][] {
  const counts = [...new Set(changes.map(({ clips }) => clips))].sort((a, b) => a - b)
  return counts.map((count) => changes.filter(({ clips }) => clips === count))
}

/** Judges a setting on comparisons with as many clips; each engine counts as one. */
export function judge(changes: readonly HeardChange[], hearing: Hearing): Judged {
  const sums = {
    score: new Means(),
    held: new Means(),
    width: new Means(),
    called: new Means(),
    small: new Means(),
    large: new Means(),
    wrong: new Means(),
  }
  for (const { shares, truth, engine } of changes) {
    if (!shares) continue
    const { value, low, high } = difference(shares.before, shares.after, hearing)
    const verdict = verdictOf({ low, high }, WORTH)
    const way = verdict === 'helped' ? -1 : verdict === 'worse' ? 1 : 0
    const size = Math.abs(truth)
    sums.score.add(engine, surprise(truth - value, truth < value ? value - low : high - value))
    sums.held.add(engine, low <= truth && truth <= high ? 1 : 0)
    sums.width.add(engine, high - low)
    if (size < 0.001) sums.called.add(engine, Math.abs(way))
    if (size < SMALL) continue
    sums[size < LARGE ? 'small' : 'large'].add(engine, way === Math.sign(truth) ? 1 : 0)
    sums.wrong.add(engine, way === -Math.sign(truth) ? 1 : 0)
  }
  const of = (name: keyof typeof sums): number => sums[name].mean
  return {
    score: of('score'),
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
