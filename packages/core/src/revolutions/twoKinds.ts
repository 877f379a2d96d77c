import { ENVELOPE_BANDS, WAVE_BANDS } from '../bands/constants.js'
import { clamp, ramp } from '../math/stats.js'
import type { ResidualBand } from '../turns/vectors.js'
import {
  BLIND_DB,
  CLEAR_DB,
  EVEN_SEPARATION,
  MOST_LOGIT,
  SEPARATION_SLOPE,
  TWO_KINDS_SCORE,
} from './constants.js'
import { type WindowEvidence, waveDepths, windowEnergy } from './windows.js'

/** Log-odds that two groups of turns so far apart are two kinds: the leading-component groups of clean turns reach about 2. */
export function separationLogit(separation: number): number {
  return SEPARATION_SLOPE * (clamp(separation, 0, 4) - EVEN_SEPARATION)
}

/** Log-odds of two kinds of turn; in noise that would hide them, not seeing them says little. */
export function seenLogit(window: WindowEvidence, residuals: readonly ResidualBand[]): number {
  const logit = twoKindsLogit(window)
  if (logit >= 0) return logit
  const noiseDb = Math.min(
    ...WAVE_BANDS.map((i) => {
      const { rest, mean } = windowEnergy(residuals[i]!, window.firstTurn, window.turns)
      return 10 * Math.log10(rest / mean + 1e-9)
    }),
  )
  return logit * ramp(-noiseDb, BLIND_DB, CLEAR_DB)
}

/** Log-odds that a window holds two kinds of turn. */
export function twoKindsLogit(window: WindowEvidence): number {
  const [largest, middle] = waveDepths(window.depthDb)
  const envelopes = ENVELOPE_BANDS.map((i) => window.depthDb[i]!).sort((a, b) => b - a)
  const score =
    TWO_KINDS_SCORE.bias +
    TWO_KINDS_SCORE.share * window.share +
    TWO_KINDS_SCORE.fold * Math.max(...window.folds) +
    TWO_KINDS_SCORE.largestWaveDepthDb * Math.max(-40, largest) +
    TWO_KINDS_SCORE.middleWaveDepthDb * Math.max(-40, middle) -
    TWO_KINDS_SCORE.againstLag1 * window.lag1 +
    TWO_KINDS_SCORE.medianEnvelopeDepthDb * Math.max(-50, envelopes[2]!) +
    TWO_KINDS_SCORE.secondEnvelopeDepthDb * Math.max(-50, envelopes[1]!) +
    TWO_KINDS_SCORE.agreement * window.agreement
  return clamp(score, -MOST_LOGIT, MOST_LOGIT)
}
