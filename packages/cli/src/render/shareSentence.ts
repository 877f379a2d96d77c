import type { Analysis, Pattern, Ratio, Segment } from '@everyrev/core'
import { VAGUE_WIDTH } from '../grade/constants.js'
import { lengthOf } from '../grade/lengthOf.js'
import { clipSpeedText, lengthText, percentSpan, percentText } from './numbers.js'
import { bothReadings } from './pattern.js'

/** Width of a 95 % interval, as a share of turns, beyond which an answer is its bounds. Common practice, no source. */
export const SURE_WIDTH = 0.12
/** Width from which there is nothing to tell. Common practice, no source. */
const NOTHING_WIDTH = 0.9
/** Share of the steady turns one pattern must hold to speak for all of them. Common practice, no source. */
const MAIN_PATTERN = 0.6

/** A share of skipped turns as the answer gives it, and the words on how sure it is. */
export interface Said {
  /** Begins with the number: `33 %`, `6 to 77 %`; null where there is none. */
  readonly figure: string | null
  readonly sureness: string
}

/**
 * A share of skipped turns, no surer than its interval is narrow: a wide one is told by its bounds, not by its middle.
 *
 * @param pattern the one that most of the turns hold to
 */
export function saidOf(ratio: Ratio, pattern: Pattern | null): Said {
  const { value, low, high } = ratio
  const both = bothReadings(pattern, ratio)
  if (both) {
    const turn = pattern === 'every-third' ? 'third' : 'fourth'
    return {
      figure: `${both.map((share) => Math.round(100 * share)).join(' or ')} %`,
      sureness: `Every ${turn} turn sounds different from the others, and the sound does not say which kind is skipped.`,
    }
  }
  if (low === null || high === null) {
    if (value === null) return { figure: null, sureness: 'The sound gives no hint of it.' }
    return { figure: percentText(value), sureness: 'Too few turns were heard to say how sure that is.' }
  }
  if (high - low >= NOTHING_WIDTH)
    return { figure: null, sureness: 'From this sound any share of skipped turns is possible.' }
  const span = percentSpan(low, high)
  if (value !== null && high - low <= SURE_WIDTH) {
    const none = Math.round(100 * value) === 0
    return {
      figure: none ? `0 %, at most ${span.high} %,` : percentText(value),
      sureness: `Quite sure: the true figure is probably between ${span.low} and ${span.high} %.`,
    }
  }
  const vague = high - low > VAGUE_WIDTH
  const none = value !== null && Math.round(100 * value) === 0 && !vague
  return {
    figure: `${span.low} to ${span.high} %`,
    sureness: none
      ? `Not very sure: it probably skips none, at most ${span.high} %.`
      : `${vague ? 'Very unsure' : 'Not very sure'}: the true figure is probably somewhere between the two.`,
  }
}

/** The share at the other reading of the speed: as many firings a second, spread over more or fewer turns. */
export function otherSpeed(
  { ambiguous, medianRpm, alternativeRpm }: Analysis,
  { value, low, high }: Ratio,
): string {
  if (!ambiguous || medianRpm === null || alternativeRpm === null || value === null) return ''
  if (low === null || high === null || high - low > SURE_WIDTH) return ''
  const other = 1 - ((1 - value) * medianRpm) / alternativeRpm
  // A little below zero is the uncertainty of the share; far below, the other speed has fewer turns than firings.
  if (other < -0.1) return ''
  return ` The figure is for ${clipSpeedText(medianRpm)} rpm; at ${clipSpeedText(alternativeRpm)} rpm it would be about ${percentText(Math.max(0, other))}.`
}

/** `5.0 seconds of steady running`; rounded down, so that what is too short does not read as long enough. */
export function steadyText(steady: readonly Segment[]): string {
  return `${lengthText(Math.floor(10 * lengthOf(steady) + 1e-6) / 10)} of steady running`
}

/** The pattern that holds most of the turns of these segments, or null when none does. */
export function mainPattern(segments: readonly Segment[]): Pattern | null {
  const turns = new Map<Pattern, number>()
  let all = 0
  for (const { pattern, firstTurn, endTurn } of segments) {
    all += endTurn - firstTurn
    if (pattern !== null) turns.set(pattern, (turns.get(pattern) ?? 0) + endTurn - firstTurn)
  }
  for (const [pattern, count] of turns) if (count >= MAIN_PATTERN * all) return pattern
  return null
}
