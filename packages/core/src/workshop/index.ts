/**
 * The sums of the bench.
 *
 * @module @everyrev/core/workshop
 */
export * from './compression.js'
export { checkCrank, crankDeg, pistonMm } from './crank.js'
export * from './gearing.js'
export * from './heat.js'
export * from './jet.js'
export * from './key.js'
export * from './keyState.js'
export { parseQuantity, parseShare } from './parseQuantity.js'
export * from './premix.js'
export { exact, propagate } from './propagate.js'
export * from './rim.js'
export type * from './types.js'
