/**
 * From sound to score, comparison of clips, and the sums at the workbench.
 *
 * @module @everyrev/core
 */
export {
  COMPARE_DEFAULTS,
  compare,
  isSameRecording,
  type PooledRatio,
  pooledRatio,
  REASON_CODES,
} from './compare/index.js'
export type * from './compare/types.js'
export { type WavFormat, wavHead } from './decode/index.js'
export * from './hear.js'
export { fromBase85, toBase85 } from './math/base85.js'
export * from './workshop/index.js'
