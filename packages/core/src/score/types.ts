import type { Ratio } from '../ratio/types.js'

/**
 * What the clip as a whole says.
 *
 * @example
 * const { score } = analyze(toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav'))))
 * score.steady // { value: 0.4, low: 0.26, high: 0.54, turns: 561 }
 * score.pulling // { value: null, turns: 0 }
 */
export interface Score {
  /** Over the whole time the engine runs and can be judged. */
  readonly misfireRatio: Ratio
  /** Over steady running alone: the headline. */
  readonly steady: Ratio
  /** Over pulling. */
  readonly pulling: Ratio
}
