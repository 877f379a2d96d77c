import type { Crank } from './crank/types.js'
import type { Analysis } from './types.js'

/** Root mean square below which sound without an engine may be too quiet to hear one, linear: −75 dB re full scale. Chosen. */
const QUIET = 1.8e-4

/**
 * What kind of sound it is.
 *
 * @param meanSquare of the samples
 */
export function judgeSound(
  { speed, engine }: Crank,
  meanSquare: number,
): Pick<Analysis, 'verdict' | 'reason' | 'engineProbability'> {
  const engineProbability = engine ?? 0
  if (speed.stretches.length > 0) return { verdict: 'measured', reason: null, engineProbability }
  if (Math.sqrt(meanSquare) < QUIET) return { verdict: 'unusable', reason: 'too-quiet', engineProbability }
  const reason = engine === null ? 'no-periodic-pulse' : 'other-sound'
  return { verdict: 'no-engine', reason, engineProbability }
}
