import { clamp } from '../math/stats.js'
import { nearMeans, partsOf, slopeAt, type Track, type TurnRun } from './turnParts.js'
import { REACH } from './turnWaveforms.js'

/** Parts of a turn by whose waveform it is laid against others. Given by the model, as are all numbers of this file. */
const POINTS = 32
/** Turns on either side over which what is late is smoothed: kinds of turn differ too, but not one way for long. */
const SMOOTH = 3
/** Most that one turn counts for, and most that is corrected at once, parts. */
const FARTHEST = 3
const FARTHEST_STEP = 2
/** Most that a turn is moved in all, as a share of the mean turn. */
const MOST = 0.15
const ROUNDS = 2
/** By how much of a turn turns are cut before the phase says that the exhaust pulse arrives, so that it lies within its turn. */
const LEAD = 0.2
/** A Hann window, sum 1. */
const WEIGHTS = Array.from(
  { length: 2 * SMOOTH + 1 },
  (_, j) => Math.sin((Math.PI * (j + 1)) / (2 * SMOOTH + 2)) ** 2 / (SMOOTH + 1),
)

/**
 * Cuts turns a little before their exhaust pulse, and where their waveforms lie best on one another. The ear tells where a turn
 * begins to a hundredth of it, which would make neighbours differ that are alike.
 *
 * @param sound levelled, at 16,000 Hz
 * @returns as many turns one after the other; the first may begin before the sound
 */
export function alignTurns(sound: Track, run: TurnRun): TurnRun {
  const turns = run.startS.length
  const begin = new Float64Array(turns + 1)
  begin.set(run.startS)
  begin[turns] = run.startS[turns - 1]! + run.durationS[turns - 1]!
  const most = (MOST * (begin[turns]! - begin[0]!)) / turns
  let edges: Float64Array = begin
  for (let round = 0; round < ROUNDS; round++) {
    const cut = cutAt(edges)
    const moves = smoothed(lateOf(partsOf(sound, cut, POINTS), turns)).map(
      (late, n) => (clamp(late, -FARTHEST_STEP, FARTHEST_STEP) / POINTS) * cut.durationS[n]!,
    )
    edges = risen(
      edges.map((edge, n) => {
        const move = (moves[Math.max(0, n - 1)]! + moves[Math.min(turns - 1, n)]!) / 2
        return begin[n]! + clamp(edge + move - begin[n]!, -most, most)
      }),
    )
  }
  return cutAt(risen(edges.map((edge, n) => edge - LEAD * lengthAt(edges, n))))
}

/** Edges of which none comes before the one before it: those that do, with it. */
function risen(edges: Float64Array): Float64Array {
  for (let n = 1; n < edges.length; n++) edges[n] = Math.max(edges[n]!, edges[n - 1]!)
  return edges
}

/** Length of the turn that begins at an edge; at the last one, of the last. */
function lengthAt(edges: Float64Array, edge: number): number {
  const n = Math.min(edge, edges.length - 2)
  return edges[n + 1]! - edges[n]!
}

function cutAt(edges: Float64Array): TurnRun {
  const turns = edges.length - 1
  return {
    startS: edges.slice(0, turns),
    durationS: Float64Array.from({ length: turns }, (_, n) => edges[n + 1]! - edges[n]!),
  }
}

/** By how many parts every turn comes later than the mean of those about it. */
function lateOf(waveforms: Float32Array, turns: number): Float64Array {
  const late = new Float64Array(turns)
  const means = nearMeans(waveforms, POINTS, REACH)
  for (let n = 0; n < turns; n++) {
    const first = n * POINTS
    let [along, steepness] = [0, 1e-9]
    for (let p = 0; p < POINTS; p++) {
      const slope = slopeAt(means, first, POINTS, p)
      along += (waveforms[first + p]! - means[first + p]!) * slope
      steepness += slope * slope
    }
    late[n] = clamp(-along / steepness, -FARTHEST, FARTHEST)
  }
  return late
}

function smoothed(values: Float64Array): Float64Array {
  return values.map((_, n) =>
    WEIGHTS.reduce(
      (sum, weight, j) => sum + weight * values[Math.max(0, Math.min(values.length - 1, n + j - SMOOTH))]!,
      0,
    ),
  )
}
