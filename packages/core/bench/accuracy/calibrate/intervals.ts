import { mean, Z95 } from '../../../src/math/stats.js'
import { CANNOT_TELL_PULL, ERROR_RUN_TURNS } from '../../../src/ratio/constants.js'
import { doubtOf } from '../../../src/ratio/interval.js'
import { coverOpenTurns } from '../../../src/score/otherReading.js'
import { holds } from '../simulated.js'
import { type Line, straightened } from './chances.js'
import type { HeardShare } from './hear.js'

/** Two constants of `hearingSd`: error that all turns share, without doubt (chosen) and per mean doubt (fitted). */
export interface Widths {
  readonly base: number
  readonly perDoubt: number
}

/** A clip's share after its chances were made honest. */
export interface Share {
  readonly truth: number
  readonly value: number
  readonly doubt: number
  readonly told: number
  readonly cannotTell: number
  readonly otherFactor: number | null
}

export interface Fit extends Widths {
  readonly holds: number
  readonly width: number
}

/** Share of intervals that shall hold: 95 %, and a little for what a fit makes look better than it is. */
export const WANTED = 0.955
/** Widths per doubt that are tried. */
const GRID = Array.from({ length: 61 }, (_, k) => k / 100)

export function straightShare({ truth, fired, cannotTell, otherFactor }: HeardShare, line: Line): Share {
  const chances = Array.from(fired, (chance) => straightened(chance, line))
  return {
    truth,
    value: 1 - mean(chances),
    doubt: mean(chances.map(doubtOf)),
    told: chances.length,
    cannotTell,
    otherFactor,
  }
}

/** The interval of a share as `misfireRatio` makes it, with other constants. */
export function intervalOf(share: Share, { base, perDoubt }: Widths): { low: number; high: number } {
  const { value, doubt, told, cannotTell, otherFactor } = share
  const alone = Math.sqrt((ERROR_RUN_TURNS * doubt) / 4 / Math.max(told, ERROR_RUN_TURNS))
  const reach = Z95 * Math.hypot(base, perDoubt * doubt, alone)
  const pull = (CANNOT_TELL_PULL * cannotTell) / (told + cannotTell)
  const low = Math.max(0, value - Math.hypot(reach, pull * value))
  const high = Math.min(1, value + Math.hypot(reach, pull * (1 - value)))
  if (otherFactor === null) return { low, high }
  const wide = coverOpenTurns({ value, low, high, turns: told }, [{ share: 1, value, factor: otherFactor }])
  return { low: wide.low!, high: wide.high! }
}

/** How many hold, and how wide they are on the mean; each kind of material counts alike, however many shares it has. */
export function judgeWidths(material: readonly (readonly Share[])[], widths: Widths): Fit {
  const parts = material
    .filter((shares) => shares.length > 0)
    .map((shares) => {
      const intervals = shares.map((share) => intervalOf(share, widths))
      return {
        holds: mean(intervals.map((interval, i) => (holds(interval, shares[i]!.truth) ? 1 : 0))),
        width: mean(intervals.map(({ low, high }) => high - low)),
      }
    })
  return {
    ...widths,
    holds: mean(parts.map((part) => part.holds)),
    width: mean(parts.map((part) => part.width)),
  }
}

/** The least width per doubt with which as many intervals hold as wanted; null where none on the grid does. */
export function fitWidths(material: readonly (readonly Share[])[], base: number): Fit | null {
  const fits = GRID.map((perDoubt) => judgeWidths(material, { base, perDoubt }))
  return fits.find((fit) => fit.holds >= WANTED) ?? null
}
