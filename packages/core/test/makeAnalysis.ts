import type { Analysis, Recording, Revolutions, Segment, SegmentKind, Stretch } from '@everyrev/core'
import { median } from '../src/math/stats.js'
import { NO_RATIO } from '../src/ratio/index.js'
import { scoreSegments } from '../src/score/index.js'
import { findSegments } from '../src/segments/index.js'

export interface AnalysisWish {
  /** One for every stretch of the turns; settled speeds by default. */
  readonly stretches?: readonly Stretch[]
  /** Found from the turns by default. */
  readonly segments?: readonly Segment[]
  /** Silence by default. */
  readonly recording?: Recording
}

/** The analysis of a clip that holds these turns; without any, a clip without an engine. */
export function makeAnalysis(revolutions: Revolutions, wish: AnalysisWish = {}): Analysis {
  const { timeS, durationS: turnS, stretch, speedRpm } = revolutions
  const turns = timeS.length
  const durationS = turns > 0 ? timeS[turns - 1]! + turnS[turns - 1]! : 1
  const segments = wish.segments ?? findSegments(revolutions, durationS)
  const settled = {
    startS: 0,
    endS: durationS,
    ambiguous: false,
    alternativeFactor: null,
    readingProbability: 1,
  }
  const stretches = wish.stretches ?? Array.from(new Set(stretch), () => settled)
  const open = stretches.find(({ ambiguous }) => ambiguous)
  const medianRpm = turns > 0 ? median(speedRpm) : null
  const factor = open?.alternativeFactor ?? null
  return {
    verdict: turns > 0 ? 'measured' : 'no-engine',
    reason: turns > 0 ? null : 'no-periodic-pulse',
    engineProbability: turns > 0 ? 1 : 0,
    earVersion: 'made-up',
    recording: wish.recording ?? { samples: new Float32Array(1), rateHz: 8000, notes: [] },
    durationS,
    speed: {
      timeS: new Float64Array(),
      speedRpm: new Float64Array(),
      speedProbability: new Float32Array(),
      stretches,
    },
    medianRpm,
    ambiguous: open !== undefined,
    alternativeRpm: factor !== null && medianRpm !== null ? medianRpm * factor : null,
    expected: null,
    revolutions,
    segments,
    score:
      turns > 0
        ? scoreSegments(revolutions, segments)
        : { misfireRatio: NO_RATIO, steady: NO_RATIO, pulling: NO_RATIO },
    quality: {
      score: 1,
      levelDbfs: -20,
      peakDbfs: -3,
      clippedRatio: 0,
      holesPerSecond: 0,
      bandwidthHz: 16_000,
      pulseToNoiseDb: 10,
      hindrances: [],
    },
  }
}

/** All turns as one segment of one kind: saves the search for segments where it is not what is tested. */
export function oneSegment(revolutions: Revolutions, kind: SegmentKind = 'steady'): Segment {
  const { timeS, durationS, speedRpm } = revolutions
  const endTurn = timeS.length
  return {
    startS: 0,
    endS: timeS[endTurn - 1]! + durationS[endTurn - 1]!,
    kind,
    speedRpm: median(speedRpm),
    misfireRatio: NO_RATIO,
    pattern: 'irregular',
    firstTurn: 0,
    endTurn,
    longestSkipRun: 0,
    popDb: null,
    unevenness: null,
  }
}
