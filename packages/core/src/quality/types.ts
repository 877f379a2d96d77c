export type Verdict = 'measured' | 'no-engine' | 'unusable'

/** Things that hinder the ear. */
export type Hindrance =
  | 'too-quiet'
  | 'clipping'
  | 'holes'
  | 'wind'
  | 'speech'
  | 'levelling'
  | 'narrow-band'
  | 'too-far'
  | 'other-sounds'
  | 'too-short'

/**
 * How good the recording is for this purpose, and how to do better.
 *
 * @example
 * const clip = toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav')))
 * analyze(clip).quality // { score: 1, levelDbfs: -19, clippedRatio: 0, hindrances: [] }
 * const overdriven = { ...clip, samples: clip.samples.map((x) => Math.max(-0.1, Math.min(0.1, x))) }
 * analyze(overdriven).quality.hindrances[0].code // 'clipping'
 */
export interface RecordingQuality {
  /** 0 (useless) to 1 (nothing in the way). */
  readonly score: number
  /** Root mean square of the clip and its peak, dB re full scale. */
  readonly levelDbfs: number
  readonly peakDbfs: number
  /** Share of samples in flat tops, 0–1. */
  readonly clippedRatio: number
  /** How often the sound stops dead for some milliseconds, times a second. */
  readonly holesPerSecond: number
  /** Upper edge of the sound present, Hz. */
  readonly bandwidthHz: number
  /** Level of what repeats with the crank against what does not, dB; null without an engine. */
  readonly pulseToNoiseDb: number | null
  /** Holes first, since they take the answer away; then what takes most off the score, or, of a long recording, what lasts longest. */
  readonly hindrances: readonly {
    readonly code: Hindrance
    readonly message: string
    readonly advice: string
  }[]
}
