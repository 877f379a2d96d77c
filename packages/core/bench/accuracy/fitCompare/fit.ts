import { HEARING, type Hearing, WORTH } from '../../../src/compare/constants.js'
import { difference } from '../../../src/compare/difference.js'
import { verdictOf } from '../../../src/compare/verdict.js'
import { mean } from '../../../src/math/stats.js'
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

/** Share of intervals that shall hold, with one clip a side and with more: 95 %, as they say of themselves. */
export const WANTED = 0.95

/** Settings that are tried: each with each. */
const APART_SDS = [0.3, 0.5, 0.7, 0.85, 1, 1.2, 1.4, 1.7, 2, 2.4, 2.8, 3.4, 4]
const ALIKE_SDS = [0.03, 0.05, 0.08, 0.12, 0.15, 0.2, 0.25, 0.3, 0.4]

/**
 * The setting with the narrowest intervals of which enough hold, with one clip a side and with more.
 *
 * Freedom and base stay as chosen: made rides differ as foreseen, real ones need not.
 */
export function fitHearing(changes: readonly HeardChange[]): Hearing {
  const parts = byClips(changes)
  let best = { hearing: HEARING, missing: Number.POSITIVE_INFINITY, width: Number.POSITIVE_INFINITY }
  for (const apartSds of APART_SDS)
    for (const alikeSds of ALIKE_SDS) {
      const hearing = { ...HEARING, apartSds, alikeSds }
      const judged = parts.map((part) => judge(part, hearing))
      const missing = judged.reduce((sum, { held }) => sum + Math.max(0, WANTED - held), 0)
      const width = judged.reduce((sum, part) => sum + part.width, 0)
      if (missing < best.missing || (missing === best.missing && width < best.width))
        best = { hearing, missing, width }
    }
  return best.hearing
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
