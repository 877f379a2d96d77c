import type { Ratio } from '@everyrev/core'
import { FIRED, PARTIAL, SKIPPED } from '../../src/labels/types.js'
import type { Judged } from './judged.js'
import { type TurnTruth, turnTruth } from './truth.js'

/** For tests: the truth of a clip at even speed, one letter a turn: F fired, S skipped, P partial (burn 0.6), C coasting. */
export function truthFrom(letters: string, speedRpm = 6000, startS = 1): TurnTruth {
  const turnS = 60 / speedRpm
  const burn = [...letters].map((letter) => (letter === 'F' ? 1 : letter === 'P' ? 0.6 : 0))
  return turnTruth({
    turnStartS: Float64Array.from(burn, (_, i) => startS + i * turnS),
    turnEndS: Float64Array.from(burn, (_, i) => startS + (i + 1) * turnS),
    pulseS: Float64Array.from(burn, (_, i) => startS + (i + 0.3) * turnS),
    speedRpm: new Float64Array(burn.length).fill(speedRpm),
    burn: Float32Array.from(burn),
    label: Uint8Array.from(burn, (share) => (share === 1 ? 0 : share === 0 ? 1 : 2)),
    state: [...letters].map((letter) => (letter === 'C' ? 'coasting' : 'irregular')),
  })
}

/** For tests: an analysis that heard every turn of a truth rightly, with changes. */
export function heardRightly(truth: TurnTruth, changes: Partial<Judged> = {}): Judged {
  const turns = truth.burn.length
  const { startS, endS, speedRpm, burn } = truth
  const timeS = Float64Array.from(startS)
  const durationS = Float64Array.from(timeS, (from, i) => endS[i]! - from)
  const probability = Float32Array.from(burn)
  const skipped = 1 - burn.reduce((sum, b) => sum + b, 0) / turns
  const ratio: Ratio = { value: skipped, low: skipped - 0.05, high: skipped + 0.05, turns }
  const from = startS[0]!
  const to = endS[turns - 1]!
  return {
    verdict: 'measured',
    reason: null,
    engineProbability: 1,
    durationS: to + 1,
    speed: {
      timeS,
      speedRpm,
      stretches: [
        { startS: from, endS: to, ambiguous: false, alternativeFactor: null, readingProbability: 1 },
      ],
    },
    medianRpm: speedRpm[0]!,
    ambiguous: false,
    alternativeRpm: null,
    revolutions: {
      timeS,
      durationS,
      speedRpm,
      label: Uint8Array.from(burn, (b) => (b === 1 ? FIRED : b === 0 ? SKIPPED : PARTIAL)),
      firedProbability: probability,
      stretch: new Int32Array(turns),
    },
    segments: [
      {
        startS: from,
        endS: to,
        kind: 'steady',
        misfireRatio: ratio,
        firstTurn: 0,
        endTurn: turns,
      },
    ],
    score: { misfireRatio: ratio },
    ...changes,
  }
}

/** For tests: an analysis that took the speed for another multiple, all turns called fired. */
export function heardAt(factor: number, truth: TurnTruth, changes: Partial<Judged> = {}): Judged {
  const from = truth.startS[0]!
  const to = truth.endS[truth.burn.length - 1]!
  const rpm = factor * truth.speedRpm[0]!
  const turns = Math.floor(((to - from) * rpm) / 60 + 1e-6)
  return { ...heardRightly(truthFrom('F'.repeat(turns), rpm, from)), ...changes }
}
