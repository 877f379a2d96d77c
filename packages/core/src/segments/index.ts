export { findSegments } from './findSegments.js'
export type * from './types.js'
