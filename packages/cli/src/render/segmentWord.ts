import type { SegmentKind } from '@everyrev/core'

/** What a kind of running is called. */
export function segmentWord(kind: SegmentKind): string {
  return kind === 'stopped' ? 'no engine' : kind
}
