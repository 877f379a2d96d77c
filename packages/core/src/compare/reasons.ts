import { MANY_HIDDEN, OPEN_SHIFT, UNLIKELY_SPREAD, WIDE_READINGS } from './constants.js'
import type { Difference } from './difference.js'
import { reason } from './reasonTexts.js'
import type { Weighed } from './select.js'
import { passesToSettle, smallestChange } from './settle.js'
import type { SideShare } from './sideShare.js'
import { SIDES, type Sides } from './sides.js'
import type { ComparedSide, CompareVerdict, Reason, ToSettle } from './types.js'

/** What makes a comparison less sure than the length of the clips alone. */
export function doubts(shares: Sides<SideShare>): Reason[] {
  const reasons = SIDES.flatMap((side) => {
    const { openDown, openUp, unknown, high, low } = shares[side]
    const found: Reason[] = []
    if (openDown + openUp > OPEN_SHIFT) found.push(reason('speed-open', { side }))
    if (unknown > MANY_HIDDEN) found.push(reason('hidden-turns', { side, share: Math.round(100 * unknown) }))
    if (high - low > 2 * WIDE_READINGS) found.push(reason('which-fires', { side }))
    return found
  })
  const { before, after } = shares
  if (before.passes === 1 || after.passes === 1) reasons.push(reason('one-pass'))
  const freedom = before.freedom + after.freedom
  const differ = freedom > 0 && (before.spread + after.spread) / freedom > UNLIKELY_SPREAD
  return differ ? [...reasons, reason('passes-differ')] : reasons
}

/** The worst thing in the way of hearing on each side; for verdicts that are not sure. */
export function hindrances(counted: Sides<readonly Weighed[]>): Reason[] {
  return SIDES.flatMap((side) => {
    const qualities = counted[side].map(({ pass }) => pass.analysis.quality)
    const [poorest] = qualities.sort((a, b) => a.score - b.score)
    const worst = poorest?.hindrances[0]
    if (!worst) return []
    const hindrance = worst.message.charAt(0).toLowerCase() + worst.message.slice(1)
    return [reason('poor-recording', { side, hindrance, help: worst.advice })]
  })
}

/** What would settle an unclear comparison, in figures and in words. */
export function wayOut(
  found: Difference,
  { before, after }: Sides<ComparedSide>,
  worth: number,
): { readonly toSettle: ToSettle | null; readonly reason: Reason } {
  const passes = passesToSettle(found, Math.min(before.passes, after.passes), worth)
  const points = Math.ceil(100 * smallestChange(found))
  if (passes === null) return { toSettle: null, reason: reason('cannot-settle', { points }) }
  const runningS = (passes * (before.runningS + after.runningS)) / (before.passes + after.passes)
  const clips = `${passes} more clip${passes > 1 ? 's' : ''}`
  return {
    toSettle: { passes, runningS },
    reason: reason('more-needed', { points, clips, seconds: Math.ceil(runningS) }),
  }
}

/** The remark that a verdict needs beside the doubts. */
export function remark(verdict: CompareVerdict, { low, high }: Difference, worth: number): Reason[] {
  const surely = low > 0 || high < 0
  return verdict === 'same' && surely
    ? [reason('small-change', { worth: Number((100 * worth).toFixed(1)) })]
    : []
}
