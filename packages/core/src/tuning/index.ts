/**
 * The tuning log, and what to try next.
 *
 * @module @everyrev/core/tuning
 */
export * from './best.js'
export * from './change.js'
export * from './closingLine.js'
export * from './decodeLog.js'
export * from './degrees.js'
export * from './editLog.js'
export * from './effects.js'
export * from './guard/index.js'
export * from './heads.js'
export * from './history.js'
export * from './judge.js'
export * from './knobs.js'
export * from './listText.js'
export * from './logError.js'
export * from './loggedClip.js'
export { LOG_SCHEMA } from './logSchema.js'
export * from './next/index.js'
export * from './parseLog.js'
export * from './readLog.js'
export * from './setting.js'
export * from './trouble.js'
export type * from './types.js'
export * from './valueText.js'
export * from './warnings.js'
