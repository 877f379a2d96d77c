import { FIRED, PARTIAL, SKIPPED, UNSURE } from '../../src/labels/types.js'
import { addTurn, type Calibration, noCalibration } from './calibration.js'
import { hasInterval, type Judged } from './judged.js'
import { matchTurns } from './match.js'
import { judgeReading, judgeSpeed, noSpeeds, type Reading, type SpeedCounts } from './speed.js'
import { skippedShare, TRUE_FIRED, TRUE_SKIPPED, type TurnTruth } from './truth.js'

/** Speed of a simulated turn counts as right within this share of the truth. */
export const SPEED_TOLERANCE = 0.03
/** Fewest true turns in a segment for its interval to be checked. */
const SEGMENT_TURNS = 6

/** What became of one simulated clip: counts only, so that clips can be added up. */
export interface SimulatedResult {
  readonly measured: boolean
  readonly reading: Reading
  /** True turns by what became of their speed, coasting included. */
  readonly speed: SpeedCounts
  /** Turns whose label counts (not coasting), rightly labelled ones, ones called unsure, ones without a found turn. */
  readonly labels: { turns: number; right: number; unsure: number; missing: number }
  /** Rightly labelled if every found label stood one turn earlier or later: tells a slip from a wrong labeller. */
  readonly shiftedRight: readonly [number, number]
  /** Coasting turns, and those called fired outside a segment called coasting or stopped. */
  readonly coasting: { turns: number; calledFired: number }
  /** Found turns that begin while nothing turns. */
  readonly extraTurns: number
  /** Truth (partial burns by share, and by half), and the ratio given with its interval. */
  readonly ratio: {
    truth: number
    truthHard: number
    value: number | null
    low: number | null
    high: number | null
  }
  /** Segments with an interval, and those whose interval holds the truth. */
  readonly segments: { count: number; held: number }
  readonly calibration: Calibration
}

/** Compares what was found in a simulated clip with its truth; in a pass-by the speed at the engine counts, not as heard. */
export function scoreSimulated(truth: TurnTruth, analysis: Judged): SimulatedResult {
  const measured = analysis.verdict === 'measured'
  const { revolutions } = analysis
  const match = measured ? matchTurns(truth, revolutions) : new Int32Array(truth.burn.length).fill(-1)
  const speed = noSpeeds()
  const labels = { turns: 0, right: 0, unsure: 0, missing: 0 }
  const coasting = { turns: 0, calledFired: 0 }
  const shifted: [number, number] = [0, 0]
  const calibration = noCalibration()
  for (let i = 0; i < match.length; i++) {
    const k = match[i]!
    speed[
      judgeSpeed(analysis, (truth.startS[i]! + truth.endS[i]!) / 2, truth.speedRpm[i]!, SPEED_TOLERANCE)
    ]++
    if (truth.coasting[i]) {
      coasting.turns++
      if (k >= 0 && revolutions.label[k] === FIRED && !calledCoasting(analysis, k)) coasting.calledFired++
      continue
    }
    labels.turns++
    if (k < 0) {
      labels.missing++
      continue
    }
    if (revolutions.label[k] === UNSURE) labels.unsure++
    if (isRight(truth, i, revolutions.label[k]!)) labels.right++
    if (isRight(truth, i, revolutions.label[k - 1] ?? UNSURE)) shifted[0]++
    if (isRight(truth, i, revolutions.label[k + 1] ?? UNSURE)) shifted[1]++
    addTurn(calibration, revolutions.firedProbability[k]!, truth.burn[i]! >= 0.5)
  }
  const { soft, hard } = skippedShare(truth)
  const { value, low, high } = analysis.score.misfireRatio
  return {
    measured,
    reading: judgeReading(analysis, middle(truth.speedRpm)),
    speed,
    labels,
    shiftedRight: shifted,
    coasting,
    extraTurns: measured ? extraTurns(truth, analysis) : 0,
    ratio: { truth: soft, truthHard: hard, ...(measured ? { value, low, high } : NO_RATIO) },
    segments: measured ? judgeSegments(truth, analysis) : { count: 0, held: 0 },
    calibration,
  }
}

const NO_RATIO = { value: null, low: null, high: null }

/** A partial burn may be called partial or by the side its share lies on. */
function isRight(truth: TurnTruth, turn: number, called: number): boolean {
  if (truth.label[turn] === TRUE_FIRED) return called === FIRED
  if (truth.label[turn] === TRUE_SKIPPED) return called === SKIPPED
  return called === PARTIAL || called === (truth.burn[turn]! >= 0.5 ? FIRED : SKIPPED)
}

function calledCoasting(analysis: Judged, turn: number): boolean {
  const segment = analysis.segments.find((s) => s.firstTurn <= turn && turn < s.endTurn)
  return segment?.kind === 'coasting' || segment?.kind === 'stopped'
}

/** True when the truth lies in the interval, with room for rounding. */
export function holds(interval: { low: number; high: number }, truth: number): boolean {
  return truth >= interval.low - 1e-6 && truth <= interval.high + 1e-6
}

/** True when a clip's ratio comes with an interval in which the truth lies. */
export const hasTruthInside = (ratio: SimulatedResult['ratio']): boolean =>
  hasInterval(ratio) && holds(ratio, ratio.truth)

function judgeSegments(truth: TurnTruth, analysis: Judged): { count: number; held: number } {
  let count = 0
  let held = 0
  for (const { startS, endS, misfireRatio } of analysis.segments) {
    if (!misfireRatio || misfireRatio.value === null || !hasInterval(misfireRatio)) continue
    const first = firstAtOrAfter(truth.anchorS, startS)
    const { turns, soft } = skippedShare(truth, first, firstAtOrAfter(truth.anchorS, endS))
    if (turns < SEGMENT_TURNS) continue
    count++
    if (holds(misfireRatio, soft)) held++
  }
  return { count, held }
}

function extraTurns(truth: TurnTruth, { revolutions }: Judged): number {
  const from = truth.startS[0] ?? Number.POSITIVE_INFINITY
  const to = truth.endS[truth.endS.length - 1] ?? Number.NEGATIVE_INFINITY
  let extra = 0
  for (let k = 0; k < revolutions.timeS.length; k++) {
    const turnS = revolutions.durationS[k]!
    const middleS = revolutions.timeS[k]! + turnS / 2
    if (middleS < from - turnS || middleS > to + turnS) extra++
  }
  return extra
}

function firstAtOrAfter(rising: ArrayLike<number>, at: number): number {
  let k = 0
  while (k < rising.length && rising[k]! < at) k++
  return k
}

const middle = (values: Float64Array): number => values.slice().sort()[values.length >> 1] ?? Number.NaN
