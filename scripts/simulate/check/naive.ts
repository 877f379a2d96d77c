import { bandLimit } from '../filters.js'
import type { Simulation } from '../types.js'
import { mean, twoMeans } from './statistics.js'

export interface NaiveScore {
  /** Share of fired and skipped turns labelled right, and the mean of both shares taken alone. */
  readonly right: number
  readonly balanced: number
  /** Loudness of fired against skipped turns, dB; NaN when a kind is missing. */
  readonly gapDb: number
}

/** The naive labeller: given the true turns, the higher of two classes of peak height is called fired. */
export function scoreNaive({ samples, rateHz, truth }: Simulation): NaiveScore {
  const x = bandLimit(samples.slice(), rateHz, 30, 4000)
  const turns = Array.from(truth.turnStartS, (startS, k) =>
    x.subarray(
      Math.round(startS * rateHz),
      Math.max(Math.round(startS * rateHz) + 1, Math.round(truth.turnEndS[k]! * rateHz)),
    ),
  )
  const peaks = turns.map((turn) => Math.log(turn.reduce((most, v) => Math.max(most, Math.abs(v)), 1e-9)))
  const loud = twoMeans(peaks)
  const levels = turns.map(
    (turn) => 10 * Math.log10(turn.reduce((sum, v) => sum + v * v, 1e-12) / turn.length),
  )
  const share = (label: number) => {
    const which = [...truth.label.keys()].filter((k) => truth.label[k] === label)
    return { which, right: which.filter((k) => (loud[k] === 1) === (label === 0)).length }
  }
  const fired = share(0)
  const skipped = share(1)
  return {
    right: (fired.right + skipped.right) / (fired.which.length + skipped.which.length),
    balanced: (fired.right / fired.which.length + skipped.right / skipped.which.length) / 2,
    gapDb: localGap(levels, truth.label),
  }
}

/** Mean difference of fired and skipped turns that are neighbours: slow changes of level drop out. */
function localGap(levels: readonly number[], label: Uint8Array): number {
  const steps: number[] = []
  for (let k = 1; k < levels.length; k++) {
    if (label[k] === 0 && label[k - 1] === 1) steps.push(levels[k]! - levels[k - 1]!)
    if (label[k] === 1 && label[k - 1] === 0) steps.push(levels[k - 1]! - levels[k]!)
  }
  return steps.length > 0 ? mean(steps) : Number.NaN
}
