export { mainRatio } from './mainRatio.js'
export { coverOtherReading, withOtherReading } from './otherReading.js'
export { scoreSegments } from './scoreSegments.js'
export type * from './types.js'
