export { COMPARE_DEFAULTS, compare } from './compare.js'
export { type PooledRatio, pooledRatio } from './pooledRatio.js'
export { isSameRecording } from './repeats.js'
export type * from './types.js'
