import type { Judged } from './judged.js'
import { crankHzAt, FRAME_S, labelledTurns, type RealSpan } from './labelled.js'
import { judgeSpeed, noSpeeds, type SpeedCounts } from './speed.js'
import { foundIn, judgeState, SHORTEST_TURNS, STATE_LIMITS, type StateResult } from './states.js'

/** Speed counts as right within this share of the label: labels are good to 2 %, fast sweeps to 3 %. */
export const LABEL_TOLERANCE = 0.04
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
export function scoreReal(spans: readonly RealSpan[], analysis: Judged): RealResult {
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

/** True when most of a span with closed throttle passes as running cleanly. */
function calledClean(span: RealSpan, analysis: Judged): boolean {
  const { turns, fired, skipped } = foundIn(span, analysis)
  const runningS = analysis.segments
    .filter(({ kind }) => kind !== 'coasting' && kind !== 'stopped')
    .reduce((sum, s) => sum + Math.max(0, Math.min(s.endS, span.endS) - Math.max(s.startS, span.startS)), 0)
  return runningS > (span.endS - span.startS) / 2 && fired > turns / 2 && skipped < STATE_LIMITS.clean[1]
}
