import { analyzeWith } from '../../../src/analyze.js'
import { earFor } from '../ears.js'
import { labelledTurns } from '../labelled.js'
import { readClip, readLabels, recordingsPresent } from '../recordings.js'
import { foundIn, SHORTEST_TURNS, STATE_SPEED_TOLERANCE, stateKind } from '../states.js'
import type { Share } from './intervals.js'

/** Share of skipped turns of the states that fix it. */
const SHARES: Readonly<Record<string, number>> = { clean: 0, 'every other': 0.5 }

/**
 * Firmly labelled states of recordings whose share of skips is known, each heard by an ear that never heard its fold.
 *
 * @returns none where the recordings are not there
 */
export async function recordedShares(): Promise<Share[]> {
  if (!recordingsPresent()) return []
  const shares: Share[] = []
  for (const [name, spans] of Object.entries(readLabels())) {
    const analysis = analyzeWith(earFor({ source: 'recording', name }), await readClip(name), {})
    for (const span of spans) {
      const truth = span.kind === 'engine' && span.crankHz ? SHARES[stateKind(span) ?? ''] : undefined
      if (truth === undefined || span.firingConfidence !== 'sure' || labelledTurns(span) < SHORTEST_TURNS)
        continue
      const { turns, skipped, doubt, speedRatio } = foundIn(span, analysis)
      if (turns === 0 || Math.abs(speedRatio - 1) > STATE_SPEED_TOLERANCE) continue
      shares.push({ truth, value: skipped, doubt, told: turns, cannotTell: 0, otherFactor: null })
    }
  }
  return shares
}
