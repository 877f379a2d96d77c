export { misfireRatio, NO_RATIO } from './ratio.js'
export type * from './types.js'
