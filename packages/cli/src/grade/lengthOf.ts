import type { Segment } from '@everyrev/core'

/** Length of these segments together, seconds. */
export function lengthOf(segments: readonly Segment[]): number {
  return segments.reduce((sum, s) => sum + s.endS - s.startS, 0)
}
