import { type Analysis, FIRED } from '@everyrev/core'
import type { LabelSpan } from '../../test/reference/recordings/load.js'
import { nearest } from './match.js'
import { judgeSpeed, noSpeeds, type SpeedCounts } from './speed.js'

/** A labelled span with what the speed labels say of themselves. */
export interface RealSpan extends LabelSpan {
  readonly speedConfidence?: 'sure' | 'likely' | 'ambiguous'
}

/** Speed counts as right within this share of the label: labels are good to 2 %, fast sweeps to 3 %. */
export const LABEL_TOLERANCE = 0.04
const FRAME_S = 0.01
/** Shortest state that is judged, turns. */
const SHORTEST_TURNS = 6
/** Found turns of a state have to be this near to the labelled speed, as half and double speed count as wrong. */
export const STATE_SPEED_TOLERANCE = 0.1
/** A state of which fewer turns than this share were found is missing. */
const FOUND_SHARE = 0.5

/** Kinds of state with the share of skipped turns that counts as heard rightly. Common sense, no source. */
export const STATE_LIMITS = {
  clean: [0, 0.15],
  'every other': [0.3, 0.67],
  'every third': [0.25, 0.75],
  'every fourth': [0.2, 0.85],
  irregular: [0.15, 1],
} as const satisfies Record<string, readonly [number, number]>
export type StateKind = keyof typeof STATE_LIMITS

export interface StateResult {
  readonly kind: StateKind
  readonly confidence: 'sure' | 'likely'
  readonly startS: number
  /** Share of skipped turns found; null when the speed is wrong or turns are missing. */
  readonly skipped: number | null
  readonly right: boolean
}

/** What became of one labelled engine clip. */
export interface RealResult {
  readonly measured: boolean
  /** Frames 10 ms apart by what became of the speed, for labels called sure and likely. */
  readonly sure: SpeedCounts
  readonly likely: SpeedCounts
  readonly states: readonly StateResult[]
  /** Spans with the throttle closed at speed, and those scored as clean running. */
  readonly overrun: { readonly spans: number; readonly calledClean: number }
}

/** Compares what was found in a real clip with its labels. */
export function scoreReal(spans: readonly RealSpan[], analysis: Analysis): RealResult {
  const speeds = { sure: noSpeeds(), likely: noSpeeds() }
  const states: StateResult[] = []
  const overrun = { spans: 0, calledClean: 0 }
  for (const span of spans) {
    if (span.kind !== 'engine' || !span.crankHz) continue
    const { speedConfidence } = span
    if (speedConfidence === 'sure' || speedConfidence === 'likely') {
      for (let at = span.startS + FRAME_S / 2; at < span.endS; at += FRAME_S)
        speeds[speedConfidence][judgeSpeed(analysis, at, 60 * crankHzAt(span, at), LABEL_TOLERANCE)]++
    }
    if (labelledTurns(span) < SHORTEST_TURNS) continue
    const state = judgeState(span, analysis)
    if (state) states.push(state)
    if (span.regime === 'overrun') {
      overrun.spans++
      if (calledClean(span, analysis)) overrun.calledClean++
    }
  }
  return { measured: analysis.verdict === 'measured', ...speeds, states, overrun }
}

/** The kind of a labelled state; null for what was left open on purpose. */
export function stateKind({ firing, firingConfidence, pattern = '' }: RealSpan): StateKind | null {
  if (firing === 'unclear' || firingConfidence === 'unclear') return null
  if (firing === 'clean') return 'clean'
  if (firing === 'alternate') return 'every other'
  if (/^period-(3|2\/3)/.test(pattern)) return 'every third'
  return pattern.startsWith('period-4') ? 'every fourth' : 'irregular'
}

function judgeState(span: RealSpan, analysis: Analysis): StateResult | null {
  const kind = stateKind(span)
  if (!kind) return null
  const { turns, skipped, speedRatio } = foundIn(span, analysis)
  const judged =
    turns >= FOUND_SHARE * labelledTurns(span) && Math.abs(speedRatio - 1) <= STATE_SPEED_TOLERANCE
  const [low, high] = STATE_LIMITS[kind]
  return {
    kind,
    confidence: span.firingConfidence as 'sure' | 'likely',
    startS: span.startS,
    skipped: judged ? skipped : null,
    right: judged && skipped >= low && (kind === 'clean' ? skipped < high : skipped <= high),
  }
}

/** True when most of a span with closed throttle passes as running cleanly. */
function calledClean(span: RealSpan, analysis: Analysis): boolean {
  const { turns, fired, skipped } = foundIn(span, analysis)
  const runningS = analysis.segments
    .filter(({ kind }) => kind !== 'coasting' && kind !== 'stopped')
    .reduce((sum, s) => sum + Math.max(0, Math.min(s.endS, span.endS) - Math.max(s.startS, span.startS)), 0)
  return runningS > (span.endS - span.startS) / 2 && fired > turns / 2 && skipped < STATE_LIMITS.clean[1]
}

/** Found turns with their middle in a span: number, number called fired, skipped share, median speed against the label. */
function foundIn(span: RealSpan, analysis: Analysis) {
  const { timeS, durationS, label, firedProbability, speedRpm } = analysis.revolutions
  const ratios: number[] = []
  let fired = 0
  let skipped = 0
  for (let k = 0; k < timeS.length && analysis.verdict === 'measured'; k++) {
    const middleS = timeS[k]! + durationS[k]! / 2
    if (middleS < span.startS || middleS >= span.endS) continue
    ratios.push(speedRpm[k]! / 60 / crankHzAt(span, middleS))
    skipped += 1 - firedProbability[k]!
    if (label[k] === FIRED) fired++
  }
  const turns = ratios.length
  ratios.sort((a, b) => a - b)
  return { turns, fired, skipped: skipped / turns, speedRatio: ratios[turns >> 1] ?? Number.NaN }
}

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
function labelledTurns(span: RealSpan): number {
  let turns = 0
  for (let at = span.startS + FRAME_S / 2; at < span.endS; at += FRAME_S)
    turns += FRAME_S * crankHzAt(span, at)
  return turns
}
