export { misfireRatio, NO_RATIO } from './ratio.js'
export { scoreSegments } from './scoreSegments.js'
export type * from './types.js'
export { wilsonInterval } from './wilson.js'
