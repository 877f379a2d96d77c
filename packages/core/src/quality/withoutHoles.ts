import type { Ratio } from '../ratio/types.js'
import type { Score } from '../score/types.js'
import type { RecordingQuality } from './types.js'

/** Did the recorder lose so much of the sound that nothing can be said of its turns? */
export function hasHoles({ hindrances }: RecordingQuality): boolean {
  return hindrances.some(({ code }) => code === 'holes')
}

/**
 * Takes the ratio away where the recording has holes: the crank jumps at each of them, so that turns between them are
 * misheard as well, some as if they were at another speed.
 */
export function withoutHoles(ratio: Ratio, quality: RecordingQuality): Ratio {
  return hasHoles(quality) ? { ...ratio, value: null, low: null, high: null } : ratio
}

/** {@link withoutHoles} for all ratios of a clip. */
export function scoreWithoutHoles(
  { misfireRatio, steady, pulling }: Score,
  quality: RecordingQuality,
): Score {
  return {
    misfireRatio: withoutHoles(misfireRatio, quality),
    steady: withoutHoles(steady, quality),
    pulling: withoutHoles(pulling, quality),
  }
}
