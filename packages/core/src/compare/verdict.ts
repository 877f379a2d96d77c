import type { CompareVerdict } from './types.js'

/**
 * The verdict an interval allows: `same` when all of it lies within the margin, else `helped` or `worse` when it leaves out
 * zero, else `unclear`.
 *
 * @param change low and high of after minus before; fewer skipped turns help
 * @param worth margin, > 0
 */
export function verdictOf(
  change: { readonly low: number; readonly high: number },
  worth: number,
): CompareVerdict {
  if (change.low >= -worth && change.high <= worth) return 'same'
  if (change.high < 0) return 'helped'
  return change.low > 0 ? 'worse' : 'unclear'
}
