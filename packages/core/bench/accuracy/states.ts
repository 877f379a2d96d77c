import { FIRED, UNSURE } from '../../src/labels/types.js'
import { doubtOf } from '../../src/ratio/interval.js'
import { hasInterval, type Judged } from './judged.js'
import { crankHzAt, labelledTurns, type RealSpan } from './labelled.js'
import { judgeSpeed } from './speed.js'

/** Shortest state that is judged, turns. */
export const SHORTEST_TURNS = 6
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
  /** Not heard rightly, but not claimed either; see {@link leftOpen}. */
  readonly open: boolean
}

/** The kind of a labelled state; null for what was left open on purpose. */
export function stateKind({ firing, firingConfidence, pattern = '' }: RealSpan): StateKind | null {
  if (firing === 'unclear' || firingConfidence === 'unclear') return null
  if (firing === 'clean') return 'clean'
  if (firing === 'alternate') return 'every other'
  if (/^period-(3|2\/3)/.test(pattern)) return 'every third'
  return pattern.startsWith('period-4') ? 'every fourth' : 'irregular'
}

/** Compares what was found with a labelled state; null for one that is left open. */
export function judgeState(span: RealSpan, analysis: Judged): StateResult | null {
  const kind = stateKind(span)
  if (!kind) return null
  const found = foundIn(span, analysis)
  const { turns, skipped, speedRatio } = found
  const judged =
    turns >= FOUND_SHARE * labelledTurns(span) && Math.abs(speedRatio - 1) <= STATE_SPEED_TOLERANCE
  const [low, high] = STATE_LIMITS[kind]
  const right = judged && skipped >= low && (kind === 'clean' ? skipped < high : skipped <= high)
  return {
    kind,
    confidence: span.firingConfidence as 'sure' | 'likely',
    startS: span.startS,
    skipped: judged ? skipped : null,
    right,
    open: !right && leftOpen(span, analysis, found, [low, high]),
  }
}

/**
 * True for a state that is not told with confidence: no speed there or the right one named as the other reading, turns
 * mostly missing at the right speed, at least half of them unsure, or an interval that reaches into what is right.
 */
function leftOpen(
  span: RealSpan,
  analysis: Judged,
  { turns, unsure }: { readonly turns: number; readonly unsure: number },
  [low, high]: readonly [number, number],
): boolean {
  const middleS = (span.startS + span.endS) / 2
  const speed = judgeSpeed(analysis, middleS, 60 * crankHzAt(span, middleS), STATE_SPEED_TOLERANCE)
  if (speed !== 'right') return speed === 'missing' || speed === 'open'
  if (turns < FOUND_SHARE * labelledTurns(span) || unsure >= turns / 2) return true
  const ratio = analysis.segments.find(
    ({ startS, endS }) => startS <= middleS && middleS < endS,
  )?.misfireRatio
  return ratio != null && hasInterval(ratio) && ratio.low <= high && ratio.high >= low
}

/**
 * Found turns with their middle in a span: number, number called fired and unsure, skipped share, mean doubt, median speed against
 * the label.
 */
export function foundIn(span: RealSpan, analysis: Judged) {
  const { timeS, durationS, label, firedProbability, speedRpm } = analysis.revolutions
  const ratios: number[] = []
  let fired = 0
  let unsure = 0
  let skipped = 0
  let doubt = 0
  for (let k = 0; k < timeS.length && analysis.verdict === 'measured'; k++) {
    const middleS = timeS[k]! + durationS[k]! / 2
    if (middleS < span.startS || middleS >= span.endS) continue
    ratios.push(speedRpm[k]! / 60 / crankHzAt(span, middleS))
    skipped += 1 - firedProbability[k]!
    doubt += doubtOf(firedProbability[k]!)
    if (label[k] === FIRED) fired++
    if (label[k] === UNSURE) unsure++
  }
  const turns = ratios.length
  ratios.sort((a, b) => a - b)
  const speedRatio = ratios[turns >> 1] ?? Number.NaN
  return { turns, fired, unsure, skipped: skipped / turns, doubt: doubt / turns, speedRatio }
}
