import type { Given } from '../../sums/inputs.js'
import { knownToLog } from '../../sums/knownToLog.js'
import { PARTS } from '../../sums/parts.js'

/** What a log knows of the sums, by their part. */
export function knownSums(text: string): Readonly<Record<string, Given>> {
  return Object.fromEntries(PARTS.map((part) => [part.name, knownToLog(text, part)]))
}
