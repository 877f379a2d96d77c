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
export const OCTAVE_SCORE = { perDb: 2.34, perSalience: 1.03, evenDb: -0.74 } as const
export type OctaveScore = Readonly<Record<keyof typeof OCTAVE_SCORE, number>>
/** Longest sound looked at, seconds, from the middle of a run. */
const LONGEST_S = 12
/** Most moves from one multiple to another. */
const MOVES = 3

/** What speaks for a rival reading against another. */
export interface RivalEvidence {
  /** On the speed of the other reading. */
  readonly factor: number
  /** Salience a frame, and how much more than that of the other reading. */
  readonly salience: number
  readonly lead: number
  /** Of the parts of a turn, dB; where both readings count as parts, by how much those of the other are deeper. */
  readonly depthDb: number
  /** -1 where the parts are turns of the rival, 1 where they are those of the other reading, 0 where both are. */
  readonly side: -1 | 0 | 1
}

type Track = Pick<SpeedRun, 'timeS' | 'speedHz' | 'candidates'>

/**
 * Settles the multiple of a run by its turns: at too low a speed a turn holds copies of itself, at too high a speed
 * neighbouring turns have little in common.
 *
 * @param bands bands that turns are cut from
 * @param phaseBands those of them that pull the turns into step
 * @param score another one than the default only to cross-validate it
 */
export function settleOctave(
  run: Track,
  bands: readonly BandSignal[],
  phaseBands: readonly BandSignal[],
  score: OctaveScore = OCTAVE_SCORE,
): OctaveVerdict {
  const rivalsOf = rivalEvidence(run, bands, phaseBands)
  let factor = 1
  for (let move = 0; ; move++) {
    let rival: { factor: number; logOdds: number } | null = null
    // Of readings that the turns speak for, the one of most salience: at a multiple of it the depth is that of noise.
    let better: RivalEvidence | null = null
    for (const other of rivalsOf(factor)) {
      const logOdds = oddsOf(other, score)
      if (rival === null || logOdds > rival.logOdds) rival = { factor: other.factor, logOdds }
      if (logOdds > 0 && (better === null || other.salience > better.salience)) better = other
    }
    if (better === null) return { factor, rival }
    if (move === MOVES) return { factor, rival: { factor: better.factor, logOdds: 0 } }
    factor *= better.factor
  }
}

/**
 * What there is for and against the rivals of a reading.
 *
 * @returns for a reading, given as a factor on the run's speed, rivals that are near in salience and have turns enough
 */
export function rivalEvidence(
  run: Track,
  bands: readonly BandSignal[],
  phaseBands: readonly BandSignal[],
): (factor: number) => RivalEvidence[] {
  const salienceAt = (factor: number): number | undefined =>
    run.candidates.find((c) => Math.abs(c.factor / factor - 1) < 0.01)?.evidence
  const depthAt = depths(run, bands, phaseBands)
  return (factor) => {
    const here = salienceAt(factor) ?? 0
    return RIVALS.flatMap(({ factor: step, slower, parts, rivalParts }) => {
      const salience = salienceAt(factor * step)
      if (salience === undefined || Math.abs(salience - here) > FAR) return []
      const depth = (count: number): number | null => (count === 1 ? 0 : depthAt(factor * slower, count))
      const [own, theirs] = [depth(parts), depth(rivalParts)]
      if (own === null || theirs === null) return []
      const side = parts === 1 ? -1 : rivalParts === 1 ? 1 : 0
      const depthDb = side === -1 ? theirs : own - theirs
      return [{ factor: step, salience, lead: salience - here, depthDb, side }]
    })
  }
}

/** Depth of parts at a factor on the run's speed, from the middle of the run; null for too few turns. */
function depths(
  run: Track,
  bands: readonly BandSignal[],
  phaseBands: readonly BandSignal[],
): (factor: number, parts: number) => number | null {
  const from = Math.max(0, Math.floor(run.timeS.length / 2 - LONGEST_S / 2 / (run.timeS[1]! - run.timeS[0]!)))
  const timeS = run.timeS.subarray(from, run.timeS.length - from)
  const speedHz = run.speedHz.subarray(from, run.speedHz.length - from)
  const starts = new Map<number, Float64Array>()
  const known = new Map<string, number | null>()
  return (factor, parts) => {
    const slow = Number(factor.toFixed(4))
    const key = `${slow}/${parts}`
    if (!known.has(key)) {
      if (!starts.has(slow)) {
        const slowed = speedHz.map((hz) => hz * factor)
        starts.set(slow, turnStarts(timeS, slowed, phaseBands))
      }
      known.set(key, partDepthDb(bands, starts.get(slow)!, parts))
    }
    return known.get(key)!
  }
}

/** Log-odds of a rival. Between readings that both count as parts two depths are compared: half as much for each. */
function oddsOf({ lead, depthDb, side }: RivalEvidence, { perDb, perSalience, evenDb }: OctaveScore): number {
  const salience = perSalience * lead
  return side === 0 ? salience + (perDb / 2) * depthDb : salience + side * perDb * (depthDb - evenDb)
}
