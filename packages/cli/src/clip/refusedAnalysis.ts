import { type Analysis, earVersion, type Hindrance, InputError, NO_RATIO } from '@everyrev/core/hear'

/** Refusals that are answers: the sound was read, and there is nothing in it to judge. */
const HINDRANCE = { silent: 'too-quiet', 'too-short': 'too-short' } as const satisfies Record<
  string,
  Hindrance
>

/**
 * The answer for a clip that was read but holds no sound or hardly any.
 *
 * @returns an analysis with nothing in it and `verdict: 'unusable'`; its figures are NaN where the clip never got as far
 * @throws the error itself when it says anything else
 */
export function refusedAnalysis(error: unknown): Analysis {
  if (!(error instanceof InputError) || !(error.code === 'silent' || error.code === 'too-short')) throw error
  const none = new Float64Array()
  const none32 = new Float32Array()
  return {
    verdict: 'unusable',
    reason: error.code,
    engineProbability: 0,
    earVersion: earVersion(),
    recording: { samples: none32, rateHz: Number.NaN, notes: [] },
    durationS: Number.NaN,
    speed: { timeS: none, speedRpm: none, speedProbability: none32, stretches: [] },
    medianRpm: null,
    ambiguous: false,
    alternativeRpm: null,
    expected: null,
    revolutions: {
      timeS: none,
      durationS: none,
      speedRpm: none,
      label: new Uint8Array(),
      firedProbability: none32,
      firedLow: none32,
      firedHigh: none32,
      pattern: new Uint8Array(),
      level: none32,
      stretch: new Int32Array(),
      speedProbability: none32,
      coasting: none32,
    },
    segments: [],
    score: { misfireRatio: NO_RATIO, steady: NO_RATIO, pulling: NO_RATIO },
    quality: {
      score: 0,
      levelDbfs: Number.NaN,
      peakDbfs: Number.NaN,
      clippedRatio: Number.NaN,
      holesPerSecond: Number.NaN,
      bandwidthHz: Number.NaN,
      pulseToNoiseDb: null,
      hindrances: [
        { code: HINDRANCE[error.code], message: error.message, advice: error.hint ?? 'Record it again.' },
      ],
    },
  }
}
