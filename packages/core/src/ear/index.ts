export * from './constants.js'
export { loadEar, shippedEar } from './model.js'
export { resample } from './resample.js'
export type { Ear, Heard } from './types.js'
