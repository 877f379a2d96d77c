import type { Analysis, Pattern, Ratio, Segment, SegmentKind } from '@everyrev/core'
import { FIRED, PATTERNS, SKIPPED, UNSURE } from '@everyrev/core'

/** A span of running to build an {@link Analysis} from; everything about it is invented. */
export interface Span {
  readonly kind: SegmentKind
  readonly durationS: number
  readonly speedRpm?: number
  readonly pattern?: Pattern
  /** Labels of the turns, repeated: `f` fired, `s` skipped, `u` unsure. */
  readonly turns?: string
  /** Lowest and highest share of skipped turns; the value is the share in `turns`. */
  readonly interval?: readonly [number, number]
}

const NOTHING: Ratio = { value: null, low: null, high: null, turns: 0 }

/** An analysis of invented spans, consistent within itself; `overrides` replaces whole fields. */
export function handMadeAnalysis(spans: readonly Span[], overrides: Partial<Analysis> = {}): Analysis {
  const turns: { timeS: number; speedRpm: number; mark: string; pattern: Pattern }[] = []
  const segments: Segment[] = []
  let startS = 0
  for (const span of spans) {
    const endS = startS + span.durationS
    const firstTurn = turns.length
    const { speedRpm = 0, turns: marks = 'u', pattern = 'cannot-tell' } = span
    if (span.kind !== 'stopped') {
      for (let i = 0; startS + (i * 60) / speedRpm < endS; i++) {
        const timeS = startS + (i * 60) / speedRpm
        turns.push({ timeS, speedRpm, mark: marks[i % marks.length]!, pattern })
      }
    }
    const value = [...marks].filter((m) => m === 's').length / marks.length
    const [low, high] = span.interval ?? [null, null]
    segments.push({
      startS,
      endS,
      kind: span.kind,
      speedRpm: span.kind === 'stopped' ? null : speedRpm,
      misfireRatio:
        span.kind === 'stopped'
          ? null
          : { value: low === null ? null : value, low, high, turns: turns.length - firstTurn },
      pattern: span.kind === 'stopped' ? null : pattern,
      firstTurn,
      endTurn: turns.length,
      longestSkipRun: 1,
      popDb: null,
      unevenness: span.kind === 'stopped' ? null : 0.01,
    })
    startS = endS
  }
  const durationS = startS
  const frames = Array.from({ length: Math.floor(durationS / 0.02) }, (_, k) => k * 0.02)
  const speedAt = (t: number) => segments.find((s) => t >= s.startS && t < s.endS)?.speedRpm ?? Number.NaN
  const ratioOf = (kinds: readonly SegmentKind[]) =>
    segments.find((s) => kinds.includes(s.kind))?.misfireRatio
  const label = (mark: string) => (mark === 'f' ? FIRED : mark === 's' ? SKIPPED : UNSURE)
  const probability = (mark: string) => (mark === 'f' ? 0.95 : mark === 's' ? 0.05 : 0.5)
  return {
    verdict: 'measured',
    reason: null,
    engineProbability: 0.99,
    earVersion: '1-made',
    recording: { samples: new Float32Array(Math.ceil(durationS * 100)), rateHz: 48_000, notes: [] },
    durationS,
    speed: {
      timeS: Float64Array.from(frames),
      speedRpm: Float64Array.from(frames, speedAt),
      speedProbability: Float32Array.from(frames, () => 1),
      stretches: [],
    },
    medianRpm: spans.find((s) => s.kind === 'steady')?.speedRpm ?? spans[0]?.speedRpm ?? null,
    ambiguous: false,
    alternativeRpm: null,
    expected: null,
    revolutions: {
      timeS: Float64Array.from(turns, (t) => t.timeS),
      durationS: Float64Array.from(turns, (t) => 60 / t.speedRpm),
      speedRpm: Float64Array.from(turns, (t) => t.speedRpm),
      label: Uint8Array.from(turns, (t) => label(t.mark)),
      firedProbability: Float32Array.from(turns, (t) => probability(t.mark)),
      firedLow: Float32Array.from(turns, (t) => (t.mark === 'f' ? 0.9 : 0)),
      firedHigh: Float32Array.from(turns, (t) => (t.mark === 's' ? 0.1 : 1)),
      pattern: Uint8Array.from(turns, (t) => PATTERNS.indexOf(t.pattern)),
      level: Float32Array.from(turns, () => 0.1),
      stretch: Int32Array.from(turns, () => 0),
      speedProbability: Float32Array.from(turns, () => 0.9),
      coasting: new Float32Array(turns.length),
    },
    segments,
    score: {
      misfireRatio: ratioOf(['steady', 'pulling', 'idle']) ?? NOTHING,
      steady: ratioOf(['steady']) ?? NOTHING,
      pulling: ratioOf(['pulling']) ?? NOTHING,
    },
    quality: {
      score: 0.8,
      levelDbfs: -20,
      peakDbfs: -3,
      clippedRatio: 0,
      holesPerSecond: 0,
      bandwidthHz: 16_000,
      pulseToNoiseDb: 9,
      hindrances: [],
    },
    ...overrides,
  }
}

/** A ride on the vegetable bicycle (invented): standing at the kerb, off, along the street, rolling to the lights. */
export const RIDE: readonly Span[] = [
  { kind: 'stopped', durationS: 0.8 },
  {
    kind: 'idle',
    durationS: 2,
    speedRpm: 2100,
    pattern: 'irregular',
    turns: 'fssfsssf',
    interval: [0.5, 0.72],
  },
  { kind: 'pulling', durationS: 1.5, speedRpm: 3900, pattern: 'every-turn', turns: 'f', interval: [0, 0.03] },
  {
    kind: 'steady',
    durationS: 4,
    speedRpm: 4620,
    pattern: 'every-third',
    turns: 'ffs',
    interval: [0.31, 0.37],
  },
  { kind: 'coasting', durationS: 1.7, speedRpm: 4000, turns: 'u' },
]
