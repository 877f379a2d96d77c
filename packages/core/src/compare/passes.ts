import { isTold } from '../ratio/interval.js'
import type { Segment, SegmentKind } from '../segments/types.js'
import type { Analysis } from '../types.js'

/** Kinds of running that are compared, each with its like; coasting and stopped say nothing about firing. */
export const COMPARED_KINDS = ['idle', 'pulling', 'steady'] as const satisfies readonly SegmentKind[]

/** What of one clip can be compared; columns of equal length, one entry per judged turn. */
export interface Pass {
  readonly analysis: Analysis
  /** Segments of a compared kind, in order; their turns are the judged ones. */
  readonly segments: readonly Segment[]
  /** Index into `Revolutions`. */
  readonly turn: Int32Array
  /** Index into {@link COMPARED_KINDS}. */
  readonly kind: Uint8Array
  /** Natural logarithm of the crank speed in rpm. */
  readonly logSpeed: Float64Array
  /** 1 where it can be told whether the turn fired, else 0. */
  readonly known: Float64Array
  /** For every stretch of the speed track the factor of another crank speed that fits as well; null where none does. */
  readonly openFactor: readonly (number | null)[]
}

/** Picks the judged turns of a clip; none where no engine was heard. */
export function toPass(analysis: Analysis): Pass {
  const { revolutions } = analysis
  const segments = analysis.segments.filter((segment) => kindOf(segment) >= 0)
  const turns = segments.flatMap((segment) =>
    Array.from({ length: segment.endTurn - segment.firstTurn }, (_, i) => ({
      turn: segment.firstTurn + i,
      kind: kindOf(segment),
    })),
  )
  return {
    analysis,
    segments,
    turn: Int32Array.from(turns, ({ turn }) => turn),
    kind: Uint8Array.from(turns, ({ kind }) => kind),
    logSpeed: Float64Array.from(turns, ({ turn }) => Math.log(revolutions.speedRpm[turn]!)),
    known: Float64Array.from(turns, ({ turn }) => (isTold(revolutions, turn) ? 1 : 0)),
    openFactor: analysis.speed.stretches.map(({ ambiguous, alternativeFactor }) =>
      ambiguous ? alternativeFactor : null,
    ),
  }
}

const kindOf = ({ kind }: Segment): number => (COMPARED_KINDS as readonly SegmentKind[]).indexOf(kind)
