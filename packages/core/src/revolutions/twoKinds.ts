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

/** Log-odds a window by what is seen in it. */
export type TwoKindsScore = Readonly<Record<keyof typeof TWO_KINDS_SCORE, number>>

/** Log-odds of two kinds of turn; in noise that would hide them, not seeing them says little. */
export function seenLogit(
  window: WindowEvidence,
  residuals: readonly ResidualBand[],
  score: TwoKindsScore = TWO_KINDS_SCORE,
): number {
  const logit = twoKindsLogit(window, score)
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
export function twoKindsLogit(window: WindowEvidence, score: TwoKindsScore = TWO_KINDS_SCORE): number {
  return clamp(weighed(twoKindsFeatures(window), score), -MOST_LOGIT, MOST_LOGIT)
}

/** Sum of what is seen, each by its weight. */
export function weighed(seen: TwoKindsScore, score: TwoKindsScore): number {
  const names = Object.keys(seen) as (keyof TwoKindsScore)[]
  return names.reduce((sum, name) => sum + score[name] * seen[name], 0)
}

/** What a score weighs, by the names of its weights. */
export function twoKindsFeatures(window: WindowEvidence): TwoKindsScore {
  const [largest, middle] = waveDepths(window.depthDb)
  const envelopes = ENVELOPE_BANDS.map((i) => window.depthDb[i]!).sort((a, b) => b - a)
  return {
    bias: 1,
    share: window.share,
    fold: Math.max(...window.folds),
    largestWaveDepthDb: Math.max(-40, largest),
    middleWaveDepthDb: Math.max(-40, middle),
    againstLag1: -window.lag1,
    medianEnvelopeDepthDb: Math.max(-50, envelopes[2]!),
    secondEnvelopeDepthDb: Math.max(-50, envelopes[1]!),
    agreement: window.agreement,
  }
}
