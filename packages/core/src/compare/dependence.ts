import { Z95 } from '../math/stats.js'

/** Shortest batch, turns: the least common multiple of 2, 3 and 4, so that every regular pattern averages out. Derived. */
const BATCH_TURNS = 12
/** Batches of pseudo-data that say "turns are independent"; keeps short spans from looking surer than they are. Chosen. */
const PRIOR_BATCHES = 2

/**
 * How many times the variance of the mean of a run-wise series is that of as many independent turns.
 *
 * Overlapping batch means: the long-run variance is b times the spread of the means of all windows of b turns.
 * It starts at b = 12, which a strict every-other, every-third or every-fourth passes without any spread, and doubles
 * b up to a quarter of the series, so that states which last long show as well. Longer batches count for less the
 * fewer there are of them; the whole is drawn towards 1 (independent turns) with the weight of two batches, and
 * cannot weigh more than the rarer kind of turn occurs: without a single skip nothing is known of how they come.
 *
 * @param spans series of 0–1 values, one per unbroken span of turns
 * @param variance variance of a single turn, > 0
 * @returns > 0; 1 = independent, below 1 for a strict pattern, above 1 where skips come in runs; includes Student's
 *   widening for the few batches it rests on
 * @remarks States that last longer than a quarter of the series cannot show.
 * @see Meketon & Schmeiser, "Overlapping batch means: something for nothing?", Winter Simulation Conference 1984
 */
export function designEffect(spans: readonly ArrayLike<number>[], variance: number): number {
  let turns = 0
  let sum = 0
  for (const span of spans) {
    turns += span.length
    for (let i = 0; i < span.length; i++) sum += span[i]!
  }
  const base = batchVariance(spans, BATCH_TURNS, sum / turns)
  if (base === null) return 1
  let worst = base.variance
  for (let size = 2 * BATCH_TURNS; size <= turns / 4; size *= 2) {
    const longer = batchVariance(spans, size, sum / turns)
    if (longer === null) break
    const trust = longer.freedom / (longer.freedom + PRIOR_BATCHES)
    worst = Math.max(worst, base.variance + trust * (longer.variance - base.variance))
  }
  const freedom = Math.min(base.freedom, 2 * Math.min(sum, turns - sum))
  const effect = (freedom * worst) / variance + PRIOR_BATCHES
  return (effect / (freedom + PRIOR_BATCHES)) * studentWidening(base.freedom + PRIOR_BATCHES) ** 2
}

/** Student's 97.5 % point over the normal one, by two terms of its expansion in 1/freedom (within 4 % from 3 on). */
function studentWidening(freedom: number): number {
  const z2 = Z95 * Z95
  return 1 + (z2 + 1) / (4 * freedom) + (5 * z2 * z2 + 16 * z2 + 3) / (96 * freedom * freedom)
}

/** Long-run variance from windows of `size` turns and its degrees of freedom; null with less than two batches. */
function batchVariance(spans: readonly ArrayLike<number>[], size: number, centre: number) {
  let windows = 0
  let squares = 0
  let covered = 0
  for (const span of spans) {
    if (span.length < size) continue
    covered += span.length
    let window = 0
    for (let i = 0; i < span.length; i++) {
      window += span[i]!
      if (i >= size) window -= span[i - size]!
      if (i < size - 1) continue
      squares += (window / size - centre) ** 2
      windows++
    }
  }
  const batches = covered / size
  if (batches < 2) return null
  // The windows share their own mean: n / (n − b) undoes the shrinkage; 1.5 (n/b − 1) is the published freedom.
  return { variance: (squares / windows) * size * (batches / (batches - 1)), freedom: 1.5 * (batches - 1) }
}
