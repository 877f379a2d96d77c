import { nearest } from './match.js'
import type { LabelSpan } from './recordings.js'

/** A labelled span with what the speed labels say of themselves. */
export interface RealSpan extends LabelSpan {
  readonly speedConfidence?: 'sure' | 'likely' | 'ambiguous'
}

/** Distance of the moments that are looked at, seconds. */
export const FRAME_S = 0.01

/** Labelled speed at a moment, turns a second, straight lines between the points. */
export function crankHzAt({ crankHz = [] }: Pick<RealSpan, 'crankHz'>, atS: number): number {
  const times = crankHz.map(([timeS]) => timeS)
  const k = nearest(times, atS)
  const from = Math.max(0, times[k]! <= atS ? k : k - 1)
  const to = Math.min(times.length - 1, from + 1)
  const [t0, hz0] = crankHz[from]!
  const [t1, hz1] = crankHz[to]!
  const share = t1 > t0 ? Math.min(1, Math.max(0, (atS - t0) / (t1 - t0))) : 0
  return hz0 + share * (hz1 - hz0)
}

/** Turns in a labelled span. */
export function labelledTurns(span: RealSpan): number {
  let turns = 0
  for (let at = span.startS + FRAME_S / 2; at < span.endS; at += FRAME_S)
    turns += FRAME_S * crankHzAt(span, at)
  return turns
}
