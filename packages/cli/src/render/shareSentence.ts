import type { Analysis, Pattern, Ratio, Segment } from '@everyrev/core'
import { lengthText, percentSpan, percentText, rpmText } from './numbers.js'
import { bothReadings } from './pattern.js'

/** Width of a 95 % interval, as a share of turns, beyond which the words turn unsure. Common practice, no source. */
export const SURE_WIDTH = 0.12
/** The same, beyond which no value is given but the interval alone. Common practice, no source. */
export const VAGUE_WIDTH = 0.4
/** Up to here, upper end of the interval, an engine counts as firing every turn. Common practice, no source. */
export const CLEAN_HIGH = 0.06
/** The same for nearly every turn, by value and upper end. Common practice, no source. */
const NEARLY_CLEAN = { value: 0.06, high: 0.2 }
/** Share of the steady turns one pattern must hold to speak for all of them. Common practice, no source. */
const MAIN_PATTERN = 0.6

/** The sentence on skipped turns: of steady running, or of what there is. */
export function shareSentence(analysis: Analysis): string {
  const { score, segments } = analysis
  const steady = segments.filter((s) => s.kind === 'steady')
  if (steady.length > 0) {
    const where = `In its ${lengthText(lengthOf(steady))} of steady running`
    return skipped(where, score.steady, mainPattern(steady)) + otherSpeed(analysis, score.steady)
  }
  const running = segments.filter((s) => s.kind !== 'stopped')
  if (running.length > 0 && running.every((s) => s.kind === 'coasting')) {
    return 'It only coasts with the throttle closed: whether it fires then cannot be told from the sound.'
  }
  const judged = running.filter((s) => s.kind !== 'coasting')
  const whole = skipped('Over what there is', score.misfireRatio, mainPattern(judged))
  return `The clip holds no steady running. ${whole}${otherSpeed(analysis, score.misfireRatio)}`
}

/** One sentence on a share of skipped turns, as sure as its interval is narrow. */
export function skipped(where: string, ratio: Ratio, pattern: Pattern | null): string {
  const { value, low, high } = ratio
  const both = bothReadings(pattern, ratio)
  if (both) {
    const turn = pattern === 'every-third' ? 'third' : 'fourth'
    const [few, many] = both.map(percentText)
    return `${where} every ${turn} turn sounds different from the others: it skips either ${few} of its turns or ${many}, and the sound does not say which.`
  }
  if (low === null || high === null) {
    return value === null
      ? `${where} the share of skipped turns cannot be told.`
      : `${where} it skips perhaps ${percentText(value)} of its turns, but too few turns were heard to say how sure that is.`
  }
  const span = percentSpan(low, high)
  if (value === null || high - low > VAGUE_WIDTH) {
    return `${where} the share of skipped turns can hardly be told: it is probably between ${span.low} and ${span.high} %.`
  }
  if (high <= CLEAN_HIGH)
    return `${where} it fires on practically every turn (at most ${span.high} % skipped).`
  if (value <= NEARLY_CLEAN.value && high <= NEARLY_CLEAN.high) {
    return `${where} it fires on nearly every turn: ${skippedText(value)}, at most ${span.high} %.`
  }
  if (high - low > SURE_WIDTH) {
    if (Math.round(100 * value) === 0)
      return `${where} it probably skips none of its turns, at most ${span.high} %.`
    return `${where} it probably skips about ${percentText(value)} of its turns; the true figure is probably between ${span.low} and ${span.high} %.`
  }
  return `${where} it skips ${inWords(value)} (quite sure: ${span.low} to ${span.high} %).`
}

function skippedText(share: number): string {
  return Math.round(100 * share) === 0
    ? 'it skips none of those heard'
    : `about ${percentText(share)} are skipped`
}

/** The share at the other reading of the speed: as many firings a second, spread over more or fewer turns. */
function otherSpeed({ ambiguous, medianRpm, alternativeRpm }: Analysis, ratio: Ratio): string {
  if (!ambiguous || medianRpm === null || alternativeRpm === null || ratio.value === null) return ''
  const other = 1 - ((1 - ratio.value) * medianRpm) / alternativeRpm
  // A little below zero is the uncertainty of the share; far below, the other speed has fewer turns than firings.
  if (other < -0.1) return ''
  return ` That is for ${rpmText(medianRpm, 50)} rpm; at ${rpmText(alternativeRpm, 50)} rpm it would be about ${percentText(Math.max(0, other))}.`
}

/** Length of these segments together, seconds. */
export function lengthOf(segments: readonly Segment[]): number {
  return segments.reduce((sum, s) => sum + s.endS - s.startS, 0)
}

/** The pattern that holds most of the turns of these segments, or null when none does. */
function mainPattern(segments: readonly Segment[]): Pattern | null {
  const turns = new Map<Pattern, number>()
  let all = 0
  for (const { pattern, firstTurn, endTurn } of segments) {
    all += endTurn - firstTurn
    if (pattern !== null) turns.set(pattern, (turns.get(pattern) ?? 0) + endTurn - firstTurn)
  }
  for (const [pattern, count] of turns) if (count >= MAIN_PATTERN * all) return pattern
  return null
}

const FRACTIONS: readonly (readonly [number, string])[] = [
  [1 / 4, 'one turn in four'],
  [1 / 3, 'one turn in three'],
  [1 / 2, 'every other turn'],
  [2 / 3, 'two turns in three'],
  [3 / 4, 'three turns in four'],
]

function inWords(value: number): string {
  const fraction = FRACTIONS.find(([share]) => Math.abs(value - share) <= 0.03)?.[1]
  return fraction ? `about ${fraction}, ${percentText(value)}` : `${percentText(value)} of its turns`
}
