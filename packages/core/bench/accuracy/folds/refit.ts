import type { TwoKindsScore } from '../../../src/revolutions/twoKinds.js'
import type { OctaveScore } from '../../../src/speed/octave.js'
import type { WindowExample } from './examples.js'
import { fitLogistic } from './logistic.js'
import type { OctavePair } from './octavePairs.js'

/** Ridge of the fits: enough to settle them. Ten times less moves one overrun, ten times more for windows one likely state too. */
const RIDGE = 1e-3

/**
 * The score of a window anew: logistic regression on windows, every source and class of it weighing the same.
 *
 * @param sources windows of the recordings together, and of each simulator
 */
export function refitTwoKinds(sources: readonly (readonly WindowExample[])[]): TwoKindsScore {
  const [first] = sources.flat()
  const names = Object.keys(first!.seen).filter((name) => name !== 'bias') as (keyof TwoKindsScore)[]
  const cases = sources.flatMap((windows) =>
    alike(windows, ({ twoKinds }) => twoKinds).map(({ of: { seen, twoKinds }, weight }) => ({
      features: names.map((name) => seen[name]),
      is: twoKinds,
      weight,
    })),
  )
  const { bias, weights } = fitLogistic(cases, RIDGE)
  const score = { bias, ...Object.fromEntries(names.map((name, j) => [name, weights[j]!])) }
  return score as unknown as TwoKindsScore
}

/**
 * The score of a multiple anew: logistic regression on pairs of readings, every source and side weighing the same. Each
 * pair counts both ways round, so that nothing speaks for a reading but what is heard.
 *
 * @param sources pairs of the recordings together, and of each simulator
 */
export function refitOctaves(sources: readonly (readonly OctavePair[])[]): OctaveScore {
  const cases = sources.flatMap((pairs) =>
    alike(pairs, ({ side }) => side > 0).flatMap(({ of: { lead, depthDb, side }, weight }) => {
      const features = [lead, side * depthDb, side]
      return [
        { features, is: false, weight },
        { features: features.map((x) => -x), is: true, weight },
      ]
    }),
  )
  const [perSalience, perDb, offset] = fitLogistic(cases, RIDGE).weights as [number, number, number]
  return { perDb, perSalience, evenDb: -offset / perDb }
}

/** Cases with weights that give both of two classes a sum of 1. */
function alike<T>(cases: readonly T[], isFirst: (of: T) => boolean): { of: T; weight: number }[] {
  const first = cases.filter(isFirst).length
  return cases.map((of) => ({ of, weight: 1 / (isFirst(of) ? first : cases.length - first) }))
}
