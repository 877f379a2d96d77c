export { COMPARE_DEFAULTS, compare } from './compare.js'
export type * from './types.js'
