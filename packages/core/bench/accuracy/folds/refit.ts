import type { TwoKindsScore } from '../../../src/revolutions/twoKinds.js'
import type { WindowExample } from './examples.js'
import { fitLogistic } from './logistic.js'

/** Examples of one source: the recordings together, or a simulator. */
export type Sources = readonly (readonly WindowExample[])[]

/** Ridge of the fit: enough to settle it. Ten times more or less moves no state of the recordings. */
const RIDGE = 1e-3

/**
 * The score of a window anew: logistic regression on windows, every source and class of it weighing the same.
 *
 * @param sources of each, windows of both classes or of one; none is left out
 */
export function refitTwoKinds(sources: Sources): TwoKindsScore {
  const [first] = sources.flat()
  const names = Object.keys(first!.seen).filter((name) => name !== 'bias') as (keyof TwoKindsScore)[]
  const cases = sources.flatMap((windows) => {
    const two = windows.filter(({ twoKinds }) => twoKinds).length
    return windows.map(({ seen, twoKinds }) => ({
      features: names.map((name) => seen[name]),
      is: twoKinds,
      weight: 1 / (twoKinds ? two : windows.length - two),
    }))
  })
  const { bias, weights } = fitLogistic(cases, RIDGE)
  const score = { bias, ...Object.fromEntries(names.map((name, j) => [name, weights[j]!])) }
  return score as unknown as TwoKindsScore
}
