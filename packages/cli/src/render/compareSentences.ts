import type { ComparedSide, Comparison, Reason } from '@everyrev/core'
import { EXPECT_OPTION } from './headline.js'
import { figureText, percentText, pointsText, type Share } from './numbers.js'

/** Chances are not told beyond this: clips cannot make anything surer. Common practice, no source. */
const SUREST = 0.99

/** The verdict in two or three sentences that a rider understands. */
export function verdictSentences(comparison: Comparison, settles: string = EXPECT_OPTION): string[] {
  const { verdict, change, worth, reasons } = comparison
  if (change.value === null)
    return [
      'These recordings cannot be compared.',
      ...reasons.slice(0, 1).map((reason) => reasonSentence(reason, settles)),
    ]
  const size = Math.abs(change.value)
  const shares = `It skipped ${figureText(sideShare(comparison.before))} of its turns before the change and skips ${figureText(sideShare(comparison.after))} after it`
  const [least, most] = [change.low!, change.high!].map(Math.abs).sort((a, b) => a - b)
  switch (verdict) {
    case 'helped':
      return [
        'The change helped.',
        `${shares}: about ${pointsText(size)} fewer (between ${spanText(least!, most!)}). ${chanceSentence(comparison)}`,
      ]
    case 'worse':
      return [
        'The change made it worse.',
        `${shares}: about ${pointsText(size)} more (between ${spanText(least!, most!)}). ${chanceSentence(comparison)}`,
      ]
    case 'same':
      return [
        'The change made no difference worth noticing.',
        `${shares}; they are at most ${pointsText(Math.ceil(1000 * most!) / 1000)} apart, and ${pointsText(worth)} would be worth noticing.`,
      ]
    default:
      return [
        'Whether the change did anything cannot be told yet.',
        `${shares}, but the true difference is probably between ${direction(change.low!)} and ${direction(change.high!)}. ${chanceSentence(comparison)}`,
      ]
  }
}

/** A reason and what to do about it. */
export function reasonSentence(reason: Reason, settles: string = EXPECT_OPTION): string {
  return `${reason.message} ${adviceOf(reason, settles) ?? ''}`.trim()
}

/** Reasons that a word on the crank speed would settle. */
const ASKED: ReadonlySet<string> = new Set(['speed-open', 'speed-settled', 'speed-multiple'])

/** What to do about a reason; what settles the speed is named where that helps. */
export function adviceOf({ code, advice }: Reason, settles: string = EXPECT_OPTION): string | null {
  return advice !== null && ASKED.has(code) ? advice.replace(/\.$/, `: ${settles}.`) : advice
}

/** Why the figures of a side are not those of its clips alone. */
export const SIDE_NOTE =
  'Shares here may differ from those of single clips: they count the running that both sides have in common, and their intervals allow for how rides with an unchanged engine differ.'

/** Fewer skips can come from a mixture that is too lean: said wherever a change is praised. */
export const LEAN_CAUTION =
  'Caution: a leaner mixture skips less and runs hotter. Look at plug and temperature before any long full throttle, and leave it to a qualified mechanic where you are not sure.'

/** The share of skipped turns of a side. */
export function sideShare({ misfireRatio, interval }: ComparedSide): Share {
  return { value: misfireRatio, low: interval?.low ?? null, high: interval?.high ?? null }
}

function chanceSentence({ chanceBetter }: Comparison): string {
  const better = chanceBetter! >= 0.5
  const chance = Math.min(SUREST, better ? chanceBetter! : 1 - chanceBetter!)
  if (Math.round(100 * chance) === 50) return 'It is as likely better as worse.'
  return `The chance that it is ${better ? 'better' : 'worse'} is ${percentText(chance)}.`
}

function spanText(low: number, high: number): string {
  return `${Math.floor(100 * low + 1e-6)} and ${Math.ceil(100 * high - 1e-6)}`
}

/** −0.084 → `9 points fewer`: rounded outward. */
function direction(change: number): string {
  const points = Math.ceil(100 * Math.abs(change) - 1e-6)
  if (points === 0) return 'no difference'
  return `${pointsText(points / 100)} ${change < 0 ? 'fewer' : 'more'}`
}
