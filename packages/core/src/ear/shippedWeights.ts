import { fromBase85 } from '../math/base85.js'
import { EAR_WEIGHTS } from './weights.js'

/** The file of weights that the library carries. For Node scripts/bundleLibrary.ts puts bytes in its place, read sooner than text. */
export function shippedWeights(): Uint8Array {
  return fromBase85(EAR_WEIGHTS)
}
