import type { Given } from '../../sums/inputs.js'
import { knownOf, knownToLog } from '../../sums/knownToLog.js'
import { PARTS } from '../../sums/parts.js'

/** What a log knows of the sums, by their part. */
export function knownSums(text: string): Readonly<Record<string, Given>> {
  const known = knownToLog(text)
  return Object.fromEntries(PARTS.map((part) => [part.name, knownOf(part, known)]))
}
