import { dot } from '../math/matrix.js'
import type { Arena } from './arena.js'
import { inDeviations, LEAST_SD } from './deviations.js'
import type { Directions } from './directions.js'
import { type Regression, SKETCHES } from './regression.js'

/** After how many turns turns may repeat themselves: two to seven. Given by the model, as are all numbers of this file. */
const FIRST_BEAT = 2
const LAST_BEAT = 7
const LAGS = LAST_BEAT + 1
const BEATS = LAST_BEAT - FIRST_BEAT + 1
/** Times that a direction is found anew by what repeats along it. */
const ROUNDS = 16

/** What repeats itself most strictly in turns, whatever was thought of them. */
export interface Rhythm {
  /** One number a turn, in standard deviations. */
  readonly side: Float64Array
  /** How far it stands out that these repeat after two turns, three and so on up to seven; −2 to 2. */
  readonly beats: Float64Array
}

/**
 * The direction in the sketches of turns along which they repeat themselves most strictly after two to seven turns.
 *
 * @remarks A repetition stands out by how far the correlation of turns so many turns apart lies above that one turn nearer and one
 *   turn further: what drifts stands out nowhere. Begun from the directions in which turns differ most; what stands out
 *   along a direction gives the next direction (as in blind separation of sources by their spectra: Belouchrani, Abed-Meraim,
 *   Cardoso and Moulines, IEEE Transactions on Signal Processing 45, 1997, from memory). In the end every turn is told by turns that
 *   take no part, and should be what the turns around it foretell.
 * @param directions in the sketches of the turns of a block
 * @param told       the regression on the same sketches
 */
export function findRhythm(arena: Arena, directions: Directions, told: Regression): Rhythm {
  const { strongest, sides } = directions
  const repeat = makeRepeater(arena, directions)
  let best: Repeated = { direction: new Float64Array(SKETCHES), beats: new Float64Array(BEATS) }
  for (const begin of strongest) {
    const found = repeat(begin)
    if (dot(found.beats, found.beats) > dot(best.beats, best.beats)) best = found
  }
  const side = inDeviations(sides(best.direction), LEAST_SD)
  const wanted = inDeviations(foretold(side, best.beats), LEAST_SD)
  const again = inDeviations(told(wanted), LEAST_SD)
  return { side: again, beats: beatsOf(again) }
}

/** A direction, and by how much products of turns along it stand out. */
interface Repeated {
  readonly direction: Float64Array
  readonly beats: Float64Array
}

/** Finds, from a direction, the one that it leads to. */
function makeRepeater(arena: Arena, directions: Directions): (begin: Float64Array) => Repeated {
  const { kernels } = arena
  const matrices = [directions.products, ...standingOut(directions)]
  const [products, factor, direction, room, beats] = [
    matrices.length * SKETCHES * SKETCHES,
    SKETCHES * SKETCHES,
    SKETCHES,
    (matrices.length + 1) * SKETCHES,
    BEATS,
  ].map((count) => arena.take(8 * count)) as [number, number, number, number, number]
  const put = (numbers: Float64Array, at: number) => kernels.doubles.set(numbers, at >> 3)
  const read = (at: number, count: number) => kernels.doubles.slice(at >> 3, (at >> 3) + count)
  matrices.forEach((matrix, n) => {
    put(matrix, products + 8 * n * SKETCHES * SKETCHES)
  })
  put(directions.factor, factor)
  return (begin) => {
    put(begin, direction)
    kernels.repeatAlong(products, BEATS, factor, SKETCHES, ROUNDS, direction, room, beats)
    return { direction: read(direction, SKETCHES), beats: read(beats, BEATS) }
  }
}

/** By how much products of turns so many turns apart stand out, {@link BEATS} matrices. */
function standingOut({ productsAhead }: Directions): Float64Array[] {
  const apart = Array.from({ length: LAGS }, (_, n) => symmetric(productsAhead(n + 1)))
  return Array.from({ length: BEATS }, (_, n) => {
    const [before, own, after] = apart.slice(n, n + 3) as [Float64Array, Float64Array, Float64Array]
    return own.map((x, i) => x - (before[i]! + after[i]!) / 2)
  })
}

/** Half of a matrix and of its mirror image. */
function symmetric(matrix: Float64Array): Float64Array {
  const out = new Float64Array(matrix.length)
  for (let i = 0; i < SKETCHES; i++)
    for (let j = 0; j < SKETCHES; j++)
      out[i * SKETCHES + j] = (matrix[i * SKETCHES + j]! + matrix[j * SKETCHES + i]!) / 2
  return out
}

/** What the turns around each foretell of it, by what stands out. */
function foretold(side: Float64Array, beats: Float64Array): Float64Array {
  const weights = new Float64Array(LAGS + 1)
  beats.forEach((beat, n) => {
    weights[n + FIRST_BEAT]! += beat
    weights[n + FIRST_BEAT - 1]! -= beat / 2
    weights[n + FIRST_BEAT + 1]! -= beat / 2
  })
  const out = new Float64Array(side.length)
  for (let lag = 1; lag <= LAGS; lag++)
    for (let n = lag; n < side.length; n++) {
      out[n]! += weights[lag]! * side[n - lag]!
      out[n - lag]! += weights[lag]! * side[n]!
    }
  return out
}

/** What stands out in sides of standard deviation 1. */
function beatsOf(side: Float64Array): Float64Array {
  const alike = Array.from({ length: LAGS + 1 }, (_, lag) => {
    let sum = 0
    for (let n = lag; n < side.length; n++) sum += side[n]! * side[n - lag]!
    return sum / side.length
  })
  return Float64Array.from(
    { length: BEATS },
    (_, n) => alike[n + FIRST_BEAT]! - (alike[n + FIRST_BEAT - 1]! + alike[n + FIRST_BEAT + 1]!) / 2,
  )
}
