import type { Pattern } from '../labels/types.js'
import type { Ratio } from '../ratio/types.js'

/**
 * Kinds of running. `steady` is even speed or a fall under load; `coasting` a fall with the throttle closed, in which
 * firing cannot be told from not firing.
 */
export type SegmentKind = 'idle' | 'pulling' | 'steady' | 'coasting' | 'stopped'

/** A span of one kind of running before anything of it is measured. */
export interface Span {
  readonly startS: number
  readonly endS: number
  readonly kind: SegmentKind
  /** First turn and one past the last, indices into `Revolutions`; a stop may hold a burst of turns under 0.3 s. */
  readonly firstTurn: number
  readonly endTurn: number
}

/**
 * A span of one kind of running.
 *
 * @example
 * const { segments } = analyze(toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav'))))
 * segments // [{ kind: 'steady', startS: 0, endS: 7.2, pattern: 'every-other', longestSkipRun: 3 }]
 */
export interface Segment extends Span {
  /** Median crank speed, rpm; null when stopped. */
  readonly speedRpm: number | null
  /** Share of skipped turns; null when stopped, the value null when it cannot be told (coasting). */
  readonly misfireRatio: Ratio | null
  readonly pattern: Pattern | null
  /** Longest run of skipped turns, turns. */
  readonly longestSkipRun: number
  /** How much louder a firing after a skip is than a steady firing, dB; null when either is missing. */
  readonly popDb: number | null
  /** Unevenness of speed: robust spread of the turn-to-turn speed about its trend, as a share of the speed (0.01 = 1 %). */
  readonly unevenness: number | null
}
