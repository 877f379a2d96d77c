import type { Analysis, Segment } from '@everyrev/core'
import { ratioText } from '../render/numbers.js'
import { toBase64 } from '../web/base64.js'
import { type PageClip, type PageSound, TICK_S } from './pageData.js'

/** What a page keeps of a clip. */
export function packClip(
  analysis: Analysis,
  name: string,
  side: PageClip['side'],
  sound: PageSound | null,
): PageClip {
  const { timeS, durationS, speedRpm, label, firedProbability } = analysis.revolutions
  const ticks = (s: number) => Math.round(s / TICK_S)
  return {
    name,
    side,
    durationS: Number.isFinite(analysis.durationS) ? analysis.durationS : 0,
    turns: {
      start: toBase64(Uint32Array.from(timeS, ticks)),
      length: toBase64(Uint16Array.from(durationS, (s) => Math.min(0xffff, ticks(s)))),
      rpm: toBase64(Uint16Array.from(speedRpm, Math.round)),
      label: toBase64(label),
      chance: toBase64(Uint8Array.from(firedProbability, (p) => Math.round(100 * p))),
    },
    segments: analysis.segments.map((segment) => ({
      startS: segment.startS,
      endS: segment.endS,
      kind: segment.kind,
      skipped: segment.kind === 'coasting' ? 'cannot be told' : ratioText(segment.misfireRatio),
      otherFactor: otherFactor(analysis, segment),
    })),
    sound,
  }
}

/** Of the stretch a segment begins in. */
function otherFactor({ revolutions, speed }: Analysis, { firstTurn, endTurn }: Segment): number | null {
  const stretch = firstTurn < endTurn ? speed.stretches[revolutions.stretch[firstTurn]!] : undefined
  return stretch?.ambiguous ? stretch.alternativeFactor : null
}
