import type { Ratio } from '../ratio/types.js'
import type { Score } from '../score/types.js'
import type { RecordingQuality } from './types.js'

/**
 * Widens a ratio's interval to everything where the recording has holes: each lets the crank jump, and from one in two seconds
 * on turns between them are misheard too, by as much as any interval.
 */
export function coverHoles(ratio: Ratio, quality: RecordingQuality): Ratio {
  return ratio.value !== null && hasHoles(quality) ? { ...ratio, low: 0, high: 1 } : ratio
}

/** Did the recorder lose so much of the sound that nothing can be said of its turns? */
export function hasHoles({ hindrances }: RecordingQuality): boolean {
  return hindrances.some(({ code }) => code === 'holes')
}

/** {@link coverHoles} for all ratios of a clip. */
export function scoreWithHoles({ misfireRatio, steady, pulling }: Score, quality: RecordingQuality): Score {
  return {
    misfireRatio: coverHoles(misfireRatio, quality),
    steady: coverHoles(steady, quality),
    pulling: coverHoles(pulling, quality),
  }
}
