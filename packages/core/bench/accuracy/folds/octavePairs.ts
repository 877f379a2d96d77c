import type { BandSignal } from '../../../src/bands/index.js'
import { median } from '../../../src/math/stats.js'
import { gridBands, type SpeedRun } from '../../../src/speed/index.js'
import { rivalEvidence } from '../../../src/speed/octave.js'
import { nearest } from '../match.js'
import { crankHzAt, type RealSpan } from '../real.js'
import { isMultiple, MULTIPLE_TOLERANCE } from '../speed.js'
import type { TurnTruth } from '../truth.js'

/** The right reading of a run and a wrong one: what would speak for the wrong one. */
export interface OctavePair {
  readonly lead: number
  readonly depthDb: number
  readonly side: -1 | 1
}

/** True crank speed at a moment, turns a second; null where it is not known. */
export type TrueHz = (atS: number) => number | null

/** Fewest frames of a run at which the truth is known. */
const FEWEST_FRAMES = 10

/** Wrong readings near the right one, of runs whose right reading is one of the candidates. */
export function octavePairs(
  runs: readonly SpeedRun[],
  turnBands: readonly BandSignal[],
  trueHz: TrueHz,
): OctavePair[] {
  return runs.flatMap((run) => {
    const factor = rightFactor(run, trueHz)
    if (factor === null) return []
    const rivals = rivalEvidence(run, turnBands, gridBands(turnBands))(factor)
    return rivals.flatMap(({ lead, depthDb, side }) => (side === 0 ? [] : [{ lead, depthDb, side }]))
  })
}

/** Factor on a run's speed that makes it right: 1, or that of another candidate; null where none does, or the truth is not known. */
function rightFactor({ timeS, speedHz, candidates }: SpeedRun, trueHz: TrueHz): number | null {
  const ratios = [...timeS].flatMap((atS, k) => {
    const hz = trueHz(atS)
    return hz === null ? [] : [hz / speedHz[k]!]
  })
  if (ratios.length < FEWEST_FRAMES) return null
  const ratio = median(ratios)
  if (Math.abs(ratio - 1) > MULTIPLE_TOLERANCE && !isMultiple(ratio)) return null
  const right = candidates.find(({ factor }) => Math.abs(ratio / factor - 1) <= MULTIPLE_TOLERANCE)
  return right?.factor ?? null
}

/** Speed of the spans whose speed is labelled firmly. */
export function labelledHz(spans: readonly RealSpan[]): TrueHz {
  const sure = spans.filter((s) => s.kind === 'engine' && s.crankHz && s.speedConfidence === 'sure')
  return (atS) => {
    const span = sure.find(({ startS, endS }) => startS <= atS && atS < endS)
    return span ? crankHzAt(span, atS) : null
  }
}

/** Speed of the true turn around a moment. */
export function simulatedHz({ startS, endS, speedRpm }: TurnTruth): TrueHz {
  return (atS) => {
    const turn = nearest(startS, atS)
    const within = [turn - 1, turn].find((i) => i >= 0 && startS[i]! <= atS && atS < endS[i]!)
    return within === undefined ? null : speedRpm[within]! / 60
  }
}
