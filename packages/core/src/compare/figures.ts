import { mean } from '../math/stats.js'
import { student95 } from '../math/student.js'
import type { Segment } from '../segments/types.js'
import type { Pass } from './passes.js'
import type { Compared } from './types.js'

/**
 * Compares a figure taken once from every clip.
 *
 * @param before one value a clip; null where a clip does not have it
 * @returns means and their difference; with two clips or more on each side Welch's 95 % interval
 * @see Welch, "The generalization of Student's problem when several different population variances are involved",
 *   Biometrika 34 (1947)
 */
export function compareFigures(
  before: readonly (number | null)[],
  after: readonly (number | null)[],
): Compared {
  const [own, other] = [before, after].map((values) => values.filter((value) => value !== null))
  if (own!.length === 0 || other!.length === 0) {
    return {
      before: meanOrNull(own!),
      after: meanOrNull(other!),
      change: { value: null, low: null, high: null },
    }
  }
  const value = mean(other!) - mean(own!)
  const reach = welchReach(own!, other!)
  const change =
    reach === null ? { value, low: null, high: null } : { value, low: value - reach, high: value + reach }
  return { before: mean(own!), after: mean(other!), change }
}

const meanOrNull = (values: readonly number[]): number | null => (values.length > 0 ? mean(values) : null)

function welchReach(before: readonly number[], after: readonly number[]): number | null {
  if (before.length < 2 || after.length < 2) return null
  const [own, other] = [before, after].map((values) => {
    const centre = mean(values)
    const variance = values.reduce((sum, v) => sum + (v - centre) ** 2, 0) / (values.length - 1)
    return { error: variance / values.length, freedom: values.length - 1 }
  })
  const error = own!.error + other!.error
  if (error === 0) return 0
  const freedom = error ** 2 / (own!.error ** 2 / own!.freedom + other!.error ** 2 / other!.freedom)
  return student95(freedom) * Math.sqrt(error)
}

/** Mean over the judged segments of a clip that have the figure, each by its turns; null where none has. */
export function ofSegments({ segments }: Pass, figure: (segment: Segment) => number | null): number | null {
  let sum = 0
  let turns = 0
  for (const segment of segments) {
    const value = figure(segment)
    if (value === null) continue
    sum += value * (segment.endTurn - segment.firstTurn)
    turns += segment.endTurn - segment.firstTurn
  }
  return turns > 0 ? sum / turns : null
}
