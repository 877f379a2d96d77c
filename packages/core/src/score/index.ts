export { coverOtherReading, withOtherReading } from './otherReading.js'
export { misfireRatio, NO_RATIO } from './ratio.js'
export { scoreSegments } from './scoreSegments.js'
export type * from './types.js'
