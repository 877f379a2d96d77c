/**
 * From sound to score: the part of the library that a program needs which hears one clip, and starts the sooner for it.
 *
 * @module @everyrev/core/hear
 */
export { analyze, earVersion } from './analyze.js'
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
export { NO_RATIO } from './ratio/index.js'
export type * from './ratio/types.js'
export { mainRatio } from './score/mainRatio.js'
export type * from './score/types.js'
export { scoreIfLonger } from './scoreIfLonger.js'
export type * from './segments/types.js'
export { analyzeStream } from './stream/index.js'
export type * from './types.js'
