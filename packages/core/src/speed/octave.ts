import type { BandSignal } from '../bands/index.js'
import { turnStarts } from '../turns/grid.js'
import type { SpeedRun } from './index.js'
import { partDepthDb } from './octaveDepth.js'

/** What the turns say of the multiple of a run. */
export interface OctaveVerdict {
  /** Factor by which the speed has to be multiplied; 1 where it was right. */
  readonly factor: number
  /** The closest other reading as a factor on the settled speed, and its log-odds, not above 0. */
  readonly rival: { readonly factor: number; readonly logOdds: number } | null
}

/** Rivals of a reading: factor, parts of a turn that both readings are counted in, parts at the rival's speed. */
const RIVALS = [
  { factor: 2, slower: 1, parts: 1, rivalParts: 2 },
  { factor: 1 / 2, slower: 1 / 2, parts: 2, rivalParts: 1 },
  { factor: 3, slower: 1, parts: 1, rivalParts: 3 },
  { factor: 1 / 3, slower: 1 / 3, parts: 3, rivalParts: 1 },
  { factor: 3 / 2, slower: 1 / 2, parts: 2, rivalParts: 3 },
  { factor: 2 / 3, slower: 1 / 3, parts: 3, rivalParts: 2 },
] as const
/** Multiples that turns are asked about. */
export const BY_TURNS: readonly number[] = RIVALS.map((r) => r.factor)
/** Lead in salience a frame beyond which a rival is not looked at. Fitted by hand: no run was wrong beyond it. */
const FAR = 0.7
/**
 * Log-odds by dB of depth and by salience a frame; depth at which both readings are as likely. Logistic regression on
 * 282 pairs of readings (tuning seeds of both simulators, 18 real ones), each source and side weighing the same; fitted
 * without a source it errs on 0 of 126, 5 of 138 and 0 of 18 of that one (2026-11-25).
 */
const LOGIT_PER_DB = 2.34
const LOGIT_PER_SALIENCE = 1.03
const EVEN_DB = -0.74
/** Half of the above between readings that both count as parts: two depths are compared. */
const LOGIT_PER_DB_BETWEEN = LOGIT_PER_DB / 2
/** Longest sound looked at, seconds, from the middle of a run. */
const LONGEST_S = 12
/** Most moves from one multiple to another. */
const MOVES = 3

/**
 * Settles the multiple of a run by its turns: at too low a speed a turn holds copies of itself, at too high a speed
 * neighbouring turns have little in common.
 *
 * @param bands bands that turns are cut from
 * @param phaseBands those of them that pull the turns into step
 */
export function settleOctave(
  run: Pick<SpeedRun, 'timeS' | 'speedHz' | 'candidates'>,
  bands: readonly BandSignal[],
  phaseBands: readonly BandSignal[],
): OctaveVerdict {
  const from = Math.max(0, Math.floor(run.timeS.length / 2 - LONGEST_S / 2 / (run.timeS[1]! - run.timeS[0]!)))
  const timeS = run.timeS.subarray(from, run.timeS.length - from)
  const speedHz = run.speedHz.subarray(from, run.speedHz.length - from)
  const evidence = (factor: number): number | undefined =>
    run.candidates.find((c) => Math.abs(c.factor / factor - 1) < 0.01)?.evidence
  const starts = new Map<number, Float64Array>()
  const depths = new Map<string, number | null>()
  const depth = (speed: number, parts: number): number | null => {
    const slow = Number(speed.toFixed(4))
    const key = `${slow}/${parts}`
    if (!depths.has(key)) {
      if (!starts.has(slow))
        starts.set(
          slow,
          turnStarts(
            timeS,
            speedHz.map((hz) => hz * speed),
            phaseBands,
          ),
        )
      depths.set(key, partDepthDb(bands, starts.get(slow)!, parts))
    }
    return depths.get(key)!
  }
  let factor = 1
  for (let move = 0; ; move++) {
    let rival: { factor: number; logOdds: number } | null = null
    // Of readings that the turns speak for, the one of most salience: at a multiple of it the depth is that of noise.
    let better: { factor: number; evidence: number } | null = null
    const here = evidence(factor) ?? 0
    for (const { factor: step, slower, parts, rivalParts } of RIVALS) {
      const there = evidence(factor * step)
      if (there === undefined || Math.abs(there - here) > FAR) continue
      const logOdds = oddsOf(there - here, parts, rivalParts, (n) => depth(factor * slower, n))
      if (logOdds === null) continue
      if (rival === null || logOdds > rival.logOdds) rival = { factor: step, logOdds }
      if (logOdds > 0 && (better === null || there > better.evidence))
        better = { factor: step, evidence: there }
    }
    if (better === null) return { factor, rival }
    if (move === MOVES) return { factor, rival: { factor: better.factor, logOdds: 0 } }
    factor *= better.factor
  }
}

/** Log-odds of the rival; null when there are too few turns. */
function oddsOf(
  lead: number,
  parts: number,
  rivalParts: number,
  depth: (parts: number) => number | null,
): number | null {
  const salience = LOGIT_PER_SALIENCE * lead
  if (parts === 1 || rivalParts === 1) {
    const db = depth(Math.max(parts, rivalParts))
    if (db === null) return null
    return salience + (rivalParts > parts ? -1 : 1) * LOGIT_PER_DB * (db - EVEN_DB)
  }
  const own = depth(parts)
  const other = depth(rivalParts)
  return own === null || other === null ? null : salience + LOGIT_PER_DB_BETWEEN * (own - other)
}
