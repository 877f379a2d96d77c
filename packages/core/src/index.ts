/**
 * From sound to score, comparison of clips, and the sums at the workbench.
 *
 * @module @everyrev/core
 */
export { analyze, earVersion } from './analyze.js'
export {
  COMPARE_DEFAULTS,
  compare,
  isSameRecording,
  type PooledRatio,
  pooledRatio,
} from './compare/index.js'
export type * from './compare/types.js'
export type { SpeedTrack, Stretch } from './crank/types.js'
export {
  type ByteFile,
  checkDecoded,
  decodeWav,
  isWav,
  type OpenWav,
  openWav,
  toRecording,
} from './decode/index.js'
export type * from './decode/types.js'
export { resample } from './ear/resample.js'
export * from './errors.js'
export type * from './labels/types.js'
export { FIRED, LABELS, PARTIAL, PATTERNS, SKIPPED, UNSURE } from './labels/types.js'
export type * from './quality/types.js'
export { scoreIfLonger } from './score/index.js'
export type * from './score/types.js'
export type * from './segments/types.js'
export { analyzeStream } from './stream/index.js'
export type * from './types.js'
export * from './workshop/index.js'
