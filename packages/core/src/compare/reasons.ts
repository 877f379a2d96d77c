import type { RecordingQuality } from '../quality/types.js'
import { FAR_BELOW_DB, MANY_HIDDEN, OPEN_SHIFT, UNLIKELY_SPREAD, WIDE_READINGS } from './constants.js'
import type { Difference } from './difference.js'
import { passesToSettle, smallestChange, smallestWithMore } from './morePasses.js'
import type { Pass } from './passes.js'
import { reason } from './reasonTexts.js'
import type { Weighed } from './select.js'
import type { SideShare } from './sideShare.js'
import { SIDES, type Sides } from './sides.js'
import type { ComparedSide, CompareVerdict, Reason, ReasonCode, ToSettle } from './types.js'

/** What makes a comparison less sure than the length of the clips alone. */
export function doubts(shares: Sides<SideShare>): Reason[] {
  const told = (code: ReasonCode, holds: (share: SideShare) => boolean): Reason[] => {
    const side = SIDES.filter((name) => holds(shares[name])).join(' and ')
    return side === '' ? [] : [reason(code, { side })]
  }
  const reasons = [
    ...told('speed-open', ({ openDown, openUp }) => openDown + openUp > OPEN_SHIFT),
    ...SIDES.filter((side) => shares[side].unknown > MANY_HIDDEN).map((side) =>
      reason('hidden-turns', { side, share: Math.round(100 * shares[side].unknown) }),
    ),
    ...told('which-fires', ({ high, low }) => high - low > 2 * WIDE_READINGS),
  ]
  const { before, after } = shares
  if (before.passes === 1 || after.passes === 1) reasons.push(reason('one-pass'))
  const freedom = before.freedom + after.freedom
  const differ = freedom > 0 && (before.spread + after.spread) / freedom > UNLIKELY_SPREAD
  return differ ? [...reasons, reason('passes-differ')] : reasons
}

/**
 * The side of which the recording alone can hide skips: every clip of it is as dull as a telephone call or drowns the engine, and
 * one on the other side, at least, is neither. Fewer skips heard there may be no fewer skips.
 */
export function poorSide(counted: Sides<readonly Weighed[]>): Reason[] {
  const poor = SIDES.filter((side) => counted[side].every(({ pass }) => hiding(pass)))
  if (poor.length !== 1) return []
  const [side] = poor
  const found = hiding(counted[side!][0]!.pass)!
  return [reason('poor-side', { side: side!, hindrance: inSentence(found.message), help: found.advice })]
}

/** What of a recording can hide skips: its narrow band, or what drowns the engine. */
function hiding({ analysis: { quality } }: Pass): RecordingQuality['hindrances'][number] | undefined {
  const far = quality.pulseToNoiseDb !== null && quality.pulseToNoiseDb < FAR_BELOW_DB
  return quality.hindrances.find(({ code }) => code === 'narrow-band' || (code === 'too-far' && far))
}

const inSentence = (message: string): string => message.charAt(0).toLowerCase() + message.slice(1)

/** The worst thing in the way of hearing on each side; for verdicts that are not sure. */
export function hindrances(counted: Sides<readonly Weighed[]>): Reason[] {
  return SIDES.flatMap((side) => {
    const qualities = counted[side].map(({ pass }) => pass.analysis.quality)
    const [poorest] = qualities.sort((a, b) => a.score - b.score)
    const worst = poorest?.hindrances[0]
    if (!worst) return []
    return [reason('poor-recording', { side, hindrance: inSentence(worst.message), help: worst.advice })]
  })
}

/** What would settle an unclear comparison, in figures and in words. */
export function wayOut(
  found: Difference,
  { before, after }: Sides<ComparedSide>,
  worth: number,
): { readonly toSettle: ToSettle | null; readonly reason: Reason } {
  const fewer = Math.min(before.passes, after.passes)
  const passes = passesToSettle(found, fewer, worth)
  const points = Math.ceil(100 * smallestChange(found))
  const next = Math.ceil(100 * smallestWithMore(found, fewer, 1))
  if (passes === null) return { toSettle: null, reason: reason('cannot-settle', { points, next }) }
  const runningS = (passes * (before.runningS + after.runningS)) / (before.passes + after.passes)
  const clips = `${passes} more clip${passes > 1 ? 's' : ''}`
  return {
    toSettle: { passes, runningS },
    reason: reason('more-needed', { points, next, clips, seconds: Math.ceil(runningS) }),
  }
}

/** The remark that a verdict needs beside the doubts. */
export function remark(verdict: CompareVerdict, { low, high }: Difference, worth: number): Reason[] {
  const surely = low > 0 || high < 0
  return verdict === 'same' && surely
    ? [reason('small-change', { worth: Number((100 * worth).toFixed(1)) })]
    : []
}
