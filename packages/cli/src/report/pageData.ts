import type { SegmentKind } from '@everyrev/core'

/** What the script of a page about recordings is handed, as JSON. */
export interface RecordingData {
  readonly clips: readonly PageClip[]
}

/** One clip; columns of numbers are base64 of typed arrays, little-endian. */
export interface PageClip {
  readonly name: string
  /** Where clips are compared. */
  readonly side: 'before' | 'after' | null
  readonly durationS: number
  readonly turns: PageTurns
  readonly segments: readonly PageSegment[]
  readonly sound: PageSound | null
}

export interface PageTurns {
  /** Uint32: start of every turn, in units of {@link TICK_S}. */
  readonly start: string
  /** Uint16: its length, in the same units. */
  readonly length: string
  /** Uint16: crank speed, rpm. */
  readonly rpm: string
  /** Uint8: code of `LABELS`. */
  readonly label: string
  /** Uint8: chance that it fired, percent. */
  readonly chance: string
}

/** Unit of times in {@link PageTurns}: at 20,000 rpm a turn is 300 of them long. */
export const TICK_S = 1e-5

export interface PageSegment {
  readonly startS: number
  readonly endS: number
  readonly kind: SegmentKind
  /** `45 % (38-53)`, or why there is none. */
  readonly skipped: string
  /** What the other reading of the speed is, as a factor; null where the speed is settled. */
  readonly otherFactor: number | null
}

/** Sound from the start of the clip, in mu-law. */
export interface PageSound {
  readonly rateHz: number
  readonly lengthS: number
  readonly muLaw: string
}
