export { mainRatio } from './mainRatio.js'
export { coverOpenStretches, coverOpenTurns } from './otherReading.js'
export { scoreSegments } from './scoreSegments.js'
export type * from './types.js'
