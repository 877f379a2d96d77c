import { MIN_SIDE_TURNS, WORTH } from '../compare/constants.js'
import { aloneInterval, difference } from '../compare/difference.js'
import type { PassShare } from '../compare/passShare.js'
import { type SideShare, sideShare } from '../compare/sideShare.js'
import type { CompareVerdict } from '../compare/types.js'
import { verdictOf } from '../compare/verdict.js'
import { median } from '../math/stats.js'
import type { LoggedClip } from './types.js'

/** Crank speeds further apart than this are not compared: load and mixture differ. Common practice, no source. */
const SPEED_APART = 0.15

/** A share of skipped turns over the passes of one setting, with its 95 % interval. */
export interface Share {
  readonly value: number
  readonly low: number
  readonly high: number
  readonly passes: number
}

/** What a change did, from the numbers kept in a log. */
export interface LogVerdict {
  readonly verdict: CompareVerdict
  /** After minus before with its 95 % interval; null when not comparable. */
  readonly change: { readonly value: number; readonly low: number; readonly high: number } | null
  /** Chance that the engine skips less after than before, 0–1; null when not comparable. */
  readonly chanceBetter: number | null
  /** Why not comparable, in words; null otherwise. */
  readonly reason: string | null
}

/** The share over some passes; null without any. */
export function shareOf(heard: readonly LoggedClip[]): Share | null {
  if (heard.length === 0) return null
  const side = sideOf(heard)
  const [low, high] = aloneInterval(side)
  return { value: side.value, low, high, passes: heard.length }
}

/**
 * Compares the passes of two trials from what the log keeps of them, with the same arithmetic `compare` uses on clips.
 *
 * @param before passes before the change
 * @param after passes after it
 * @param worth  smallest change worth noticing, share of turns
 * @remarks What `compare` does beyond this, weighing both sides to one mix of speeds turn by turn, takes the clips.
 */
export function judgeHeard(
  before: readonly LoggedClip[],
  after: readonly LoggedClip[],
  worth: number = WORTH,
): LogVerdict {
  const reason = obstacle(before, after)
  if (reason !== null) return { verdict: 'not-comparable', change: null, chanceBetter: null, reason }
  const { value, low, high, chanceBelow } = difference(sideOf(before), sideOf(after))
  return {
    verdict: verdictOf({ low, high }, worth),
    change: { value, low, high },
    chanceBetter: chanceBelow,
    reason: null,
  }
}

function obstacle(before: readonly LoggedClip[], after: readonly LoggedClip[]): string | null {
  if (before.length === 0 || after.length === 0) return 'nothing heard'
  const turns = (side: readonly LoggedClip[]) => side.reduce((sum, h) => sum + h.turns, 0)
  if (Math.min(turns(before), turns(after)) < MIN_SIDE_TURNS) return 'too few turns'
  if (running(before) !== running(after)) return 'other kind of running'
  const speed = (side: readonly LoggedClip[]) => Math.log(median(side.map(({ rpm }) => rpm)))
  return Math.abs(speed(before) - speed(after)) > SPEED_APART ? 'other crank speed' : null
}

function running(side: readonly LoggedClip[]): string {
  return side.every((h) => h.running === 'steady') ? 'steady' : 'mixed'
}

function sideOf(heard: readonly LoggedClip[]): SideShare {
  return sideShare(heard.map(toPassShare))
}

function toPassShare({ turns, skipped, independent, readings }: LoggedClip): PassShare {
  return {
    mass: turns,
    unknown: 0,
    value: skipped,
    low: readings[0],
    high: readings[1],
    effective: independent,
    hiddenDown: 0,
    hiddenUp: 0,
    openDown: 0,
    openUp: 0,
  }
}
