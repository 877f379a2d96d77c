import type { Analysis, Ratio, Revolutions, Segment, SpeedTrack } from '@everyrev/core'

/** What the bench looks at of an analysis. */
export interface Judged
  extends Pick<
    Analysis,
    'verdict' | 'reason' | 'engineProbability' | 'durationS' | 'medianRpm' | 'ambiguous' | 'alternativeRpm'
  > {
  readonly speed: Pick<SpeedTrack, 'timeS' | 'speedRpm' | 'stretches'>
  readonly revolutions: Pick<
    Revolutions,
    'timeS' | 'durationS' | 'speedRpm' | 'label' | 'firedProbability' | 'stretch'
  >
  readonly segments: readonly Pick<
    Segment,
    'startS' | 'endS' | 'kind' | 'misfireRatio' | 'firstTurn' | 'endTurn'
  >[]
  readonly score: Pick<Analysis['score'], 'misfireRatio'>
}

/** An analysis of a clip in which nothing was found. */
export function nothingFound(durationS: number): Judged {
  const none = new Float64Array()
  return {
    verdict: 'unusable',
    reason: null,
    engineProbability: 0,
    durationS,
    medianRpm: null,
    ambiguous: false,
    alternativeRpm: null,
    speed: { timeS: none, speedRpm: none, stretches: [] },
    revolutions: {
      timeS: none,
      durationS: none,
      speedRpm: none,
      label: new Uint8Array(),
      firedProbability: new Float32Array(),
      stretch: new Int32Array(),
    },
    segments: [],
    score: { misfireRatio: { value: null, low: null, high: null, turns: 0 } },
  }
}

/** True when a ratio comes with an interval that can be held against a truth. */
export function hasInterval(ratio: Pick<Ratio, 'low' | 'high'>): ratio is { low: number; high: number } {
  return ratio.low !== null && ratio.high !== null
}
