import type { Ratio } from '../ratio/types.js'
import type { Segment } from '../segments/types.js'
import type { Score } from './types.js'

/**
 * The share of skipped turns that speaks for a clip: that of steady running, or, where none was found, of all that is judged.
 *
 * Steady running of which nothing can be told has no value, and then the clip has none: what it did besides is no answer.
 *
 * @example
 * const clip = analyze(toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav'))))
 * mainRatio(clip) === clip.score.steady // true
 */
export function mainRatio({
  score,
  segments,
}: {
  readonly score: Score
  readonly segments: readonly Segment[]
}): Ratio {
  return segments.some(({ kind }) => kind === 'steady') ? score.steady : score.misfireRatio
}
