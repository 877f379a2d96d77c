import { scoreWithoutHoles } from './quality/withoutHoles.js'
import { scoreSegments } from './score/scoreSegments.js'
import type { Score } from './score/types.js'
import type { Analysis } from './types.js'

/**
 * The score of a clip if it were longer and went on as it did so far.
 *
 * The intervals narrow, but not beyond the error that all turns of a clip share, nor beyond another reading of its speed.
 *
 * @param times how many times as long, >= 1
 * @example
 * const clip = analyze(toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav'))))
 * scoreIfLonger(clip, 4).steady.high < clip.score.steady.high // true
 */
export function scoreIfLonger({ revolutions, segments, speed, quality }: Analysis, times: number): Score {
  return scoreWithoutHoles(scoreSegments(revolutions, segments, speed.stretches, times), quality)
}
