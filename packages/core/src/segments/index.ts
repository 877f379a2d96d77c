export { describeSpan, findSegments, findSpans } from './findSegments.js'
export type * from './types.js'
