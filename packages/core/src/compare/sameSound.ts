import { mean, spanMean } from '../math/stats.js'
import type { Analysis } from '../types.js'
import { SAME_FROM } from './constants.js'

/** Loudness over time, decibels about its own slow mean, `ENVELOPE_RATE_HZ` values a second. */
export type Envelope = Float64Array

/** Chosen: fast enough to time every gust and surge. */
const ENVELOPE_RATE_HZ = 50
/**
 * Turns that loudness is a mean of. Derived: the least common multiple of the rhythms of two, three and four turns, which two
 * rides can share.
 */
const RHYTHM_TURNS = 12
/** Values over which the slow mean of loudness is taken: 1 s. Chosen with `SAME_FROM`. */
const SLOW = 50
/** Multiple of the median size beyond which values are cut, lest one event decide. Chosen with `SAME_FROM`. */
const CUT = 2
/** Median size from which loudness is said to come and go at all, dB. Chosen: a tenth of the steps that it is kept in. */
const LEAST_DB = 0.05
/** Least and most seconds that are looked for in another clip. Chosen: three are 150 values, which chance does not match. */
const LEAST_S = 3
const MOST_S = 10
/** Where in a clip pieces are taken to look for, as shares of what is left over: two clips may each be cut from one. Chosen. */
const PLACES = [0, 0.5, 1]

/**
 * How the loudness of a clip comes and goes while its engine runs.
 *
 * It is the same when a recording was encoded anew, trimmed, turned up or made dull; it is another in another recording of
 * the same engine, as no two rides have the same gusts and surges at the same moments.
 *
 * @returns empty without an engine, and where loudness does not change
 */
export function envelopeOf({ revolutions: { timeS, durationS, level } }: Analysis): Envelope {
  const turns = timeS.length
  if (turns === 0) return new Float64Array()
  const power = spanMean(
    Float64Array.from(level, (value) => value ** 2),
    RHYTHM_TURNS,
  )
  const count = Math.floor((timeS[turns - 1]! + durationS[turns - 1]! - timeS[0]!) * ENVELOPE_RATE_HZ)
  const db = new Float64Array(Math.max(0, count))
  for (let k = 0, turn = 0; k < db.length; k++) {
    const atS = timeS[0]! + (k + 0.5) / ENVELOPE_RATE_HZ
    while (turn + 1 < turns && timeS[turn + 1]! <= atS) turn++
    db[k] = 10 * Math.log10(power[turn]! + Number.MIN_VALUE)
  }
  const slow = spanMean(db, SLOW)
  const fine = db.map((value, k) => value - slow[k]!)
  const size = [...fine].map(Math.abs).sort((a, b) => a - b)[fine.length >> 1]!
  if (!(size >= LEAST_DB)) return new Float64Array()
  return fine.map((value) => Math.max(-CUT * size, Math.min(CUT * size, value)))
}

/**
 * Is one clip the other, or do they share a piece of one recording?
 *
 * @returns false when either has less than three seconds of running
 * @remarks a piece of at most ten seconds is looked for at every moment of the other clip
 */
export function isSameSound(a: Envelope, b: Envelope): boolean {
  const [short, long] = a.length <= b.length ? [a, b] : [b, a]
  if (short.length < LEAST_S * ENVELOPE_RATE_HZ) return false
  const length = Math.min(short.length, MOST_S * ENVELOPE_RATE_HZ)
  return PLACES.some((place) => {
    const first = Math.round(place * (short.length - length))
    return likeness(short.subarray(first, first + length), long) >= SAME_FROM
  })
}

/** Highest correlation of a piece with any stretch of a clip that is as long, −1 to 1. */
function likeness(piece: Envelope, clip: Envelope): number {
  const n = piece.length
  const own = centred(piece)
  const ownSize = Math.hypot(...own)
  let best = -1
  for (let first = 0; first + n <= clip.length; first++) {
    const other = clip.subarray(first, first + n)
    let [product, sum, squares] = [0, 0, 0]
    for (let i = 0; i < n; i++) {
      product += own[i]! * other[i]!
      sum += other[i]!
      squares += other[i]! ** 2
    }
    const size = ownSize * Math.sqrt(Math.max(0, squares - sum ** 2 / n))
    if (size > 0) best = Math.max(best, product / size)
  }
  return best
}

function centred(values: Float64Array): Float64Array {
  const middle = mean(values)
  return values.map((value) => value - middle)
}
