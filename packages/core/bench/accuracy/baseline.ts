import { scoreNaive } from '../../../../scripts/simulate/check/naive.js'
import type { TurnTruth } from './truth.js'

/**
 * What a naive labeller gets although it is given every true turn: the higher of two classes of peaks fired. A floor
 * for the detector and a check of the simulators: where this does well, the clips are too easy.
 *
 * @returns share of fired and skipped turns rightly labelled, coasting included, partial burns left out
 */
export function naiveTurnsRight(samples: Float32Array, rateHz: number, truth: TurnTruth): number {
  const { startS: turnStartS, endS: turnEndS, anchorS: pulseS, speedRpm, burn, label } = truth
  const engine = { engineStartS: turnStartS[0]!, engineEndS: turnEndS[turnEndS.length - 1]! }
  const turns = { turnStartS, turnEndS, pulseS, speedRpm, burn, label, state: [] }
  return scoreNaive({ samples, rateHz, truth: { ...turns, ...engine } }).right
}
