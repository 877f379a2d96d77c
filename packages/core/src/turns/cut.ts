import type { BandSignal } from '../bands/filterBank.js'
import { catmullRom } from '../math/interpolate.js'

/** Times of turn starts of one stretch, seconds; turn n lies between `startS[n]` and `startS[n + 1]`. */
export type TurnStarts = Float64Array

/** A band cut into turns: row n holds `points` values evenly spaced over turn n. */
export interface CutBand {
  readonly points: number
  readonly turns: number
  readonly values: Float32Array
}

/**
 * Resamples a band signal to a fixed number of points a turn.
 *
 * @param startS length turns + 1, strictly increasing; between starts the crank angle follows a cubic
 */
export function cutTurns(signal: BandSignal, startS: TurnStarts, points: number): CutBand {
  return cutAt(signal, pointTimes(startS, points), points)
}

/** Times of the points of every turn, seconds, length turns · points; the same for all bands cut to as many points. */
export function pointTimes(startS: TurnStarts, points: number): Float64Array {
  const turns = startS.length - 1
  const timeS = new Float64Array(turns * points)
  for (let turn = 0; turn < turns; turn++) {
    // Catmull-Rom between the starts, as catmullRom gives it; its four starts are the same for the whole turn.
    const a = startS[Math.max(0, turn - 1)]!
    const b = startS[turn]!
    const c = startS[turn + 1]!
    const d = startS[Math.min(turns, turn + 2)]!
    for (let p = 0; p < points; p++) {
      const f = (p + 0.5) / points
      timeS[turn * points + p] =
        b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)))
    }
  }
  return timeS
}

/**
 * Values of a band signal at the times of turn points.
 *
 * @param timeS  from {@link pointTimes} for `points` points a turn
 */
export function cutAt(signal: BandSignal, timeS: Float64Array, points: number): CutBand {
  const { values, rateHz } = signal
  const n = values.length
  const out = new Float32Array(timeS.length)
  for (let k = 0; k < timeS.length; k++) {
    const position = timeS[k]! * rateHz
    const i = Math.floor(position)
    if (i >= 1 && i + 2 < n) {
      const f = position - i
      const a = values[i - 1]!
      const b = values[i]!
      const c = values[i + 1]!
      const d = values[i + 2]!
      out[k] = b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)))
    } else {
      out[k] = catmullRom(values, position)
    }
  }
  return { points, turns: timeS.length / points, values: out }
}
