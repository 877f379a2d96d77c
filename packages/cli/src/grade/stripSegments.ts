import type { SegmentJson } from './types.js'

/** What is kept of a segment for the small strip of a clip. */
export interface StripSegment {
  readonly startS: number
  readonly endS: number
  /** Share of skipped turns, 0–1; null where it cannot be told, undefined without an engine. */
  readonly skipped: number | null | undefined
}

export function stripSegments(segments: readonly SegmentJson[]): StripSegment[] {
  return segments.map(({ startS, endS, kind, misfireRatio }) => ({
    startS,
    endS,
    skipped: kind === 'stopped' ? undefined : kind === 'coasting' ? null : misfireRatio.value,
  }))
}
