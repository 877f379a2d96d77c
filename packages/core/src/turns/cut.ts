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
  const turns = startS.length - 1
  const out = new Float32Array(turns * points)
  const { values, rateHz } = signal
  const n = values.length
  for (let turn = 0; turn < turns; turn++) {
    for (let p = 0; p < points; p++) {
      const position = catmullRom(startS, turn + (p + 0.5) / points) * rateHz
      const i = Math.floor(position)
      if (i >= 1 && i + 2 < n) {
        const f = position - i
        const a = values[i - 1]!
        const b = values[i]!
        const c = values[i + 1]!
        const d = values[i + 2]!
        out[turn * points + p] =
          b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)))
      } else {
        out[turn * points + p] = catmullRom(values, position)
      }
    }
  }
  return { points, turns, values: out }
}
