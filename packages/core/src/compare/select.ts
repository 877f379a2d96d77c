import { hasHoles } from '../quality/withoutHoles.js'
import { MIN_OVERLAP, MIN_PASS_TURNS, MIN_SIDE_TURNS, MULTIPLE_TOLERANCE } from './constants.js'
import { describeSide } from './describeSide.js'
import { COMPARED_KINDS, type Pass } from './passes.js'
import type { PassShare } from './passShare.js'
import { reason } from './reasonTexts.js'
import { SIDES, type SideName, type Sides } from './sides.js'
import type { Reason } from './types.js'

/** A clip with the weight of each of its judged turns and what comes of them. */
export interface Weighed {
  readonly pass: Pass
  readonly weights: Float64Array
  readonly share: PassShare
}

/** Why a clip cannot be used whatever the other side is; null when it can. */
export function fault({ analysis, known }: Pass): 'no-engine' | 'holes' | 'cannot-tell' | null {
  if (analysis.verdict !== 'measured') return 'no-engine'
  if (hasHoles(analysis.quality)) return 'holes'
  return sum(known) < MIN_PASS_TURNS ? 'cannot-tell' : null
}

/** Remarks on the clips of a side that are not used while others are. */
export function leftOut(
  side: SideName,
  given: readonly Pass[],
  used: readonly Pass[],
  repeats: ReadonlySet<number>,
): Reason[] {
  if (used.length === 0) return []
  return given.flatMap((pass, i) =>
    used.includes(pass) || repeats.has(i)
      ? []
      : [reason('pass-left-out', { clip: i + 1, side, why: WHY_LEFT_OUT[fault(pass) ?? 'other-running'] })],
  )
}

const WHY_LEFT_OUT = {
  'no-engine': 'no engine is heard in it',
  holes: 'the recorder lost some of its sound',
  'cannot-tell': 'hardly a turn of it can be judged',
  'other-running': 'it runs at another speed or in another way',
}

/** Why two sides do not compare; empty when they do. */
export function obstacles(
  overlap: number,
  given: Sides<readonly Pass[]>,
  heard: Sides<readonly Pass[]>,
  counted: Sides<readonly Weighed[]>,
): Reason[] {
  const empty = SIDES.filter((side) => heard[side].length === 0)
  if (empty.length > 0) return empty.map((side) => emptySide(side, given[side]))
  if (overlap < MIN_OVERLAP) return otherRunning(heard) ?? [...otherSpeed(heard), ...openSpeeds(heard)]
  const turns = Math.min(...SIDES.map((side) => sum(counted[side].map(({ share }) => share.mass))))
  return turns < MIN_SIDE_TURNS ? [reason('too-few-turns', { turns: Math.floor(turns) })] : []
}

function emptySide(side: SideName, given: readonly Pass[]): Reason {
  const faults = given.map(fault)
  return reason(EMPTY_FOR.find((code) => faults.includes(code)) ?? 'no-engine', { side })
}

/** Why a side has no clip that counts, what is soonest mended first. */
const EMPTY_FOR = ['holes', 'cannot-tell'] as const

function otherRunning({ before, after }: Sides<readonly Pass[]>): Reason[] | null {
  const [own, other] = [kindShares(before), kindShares(after)]
  const alike = sum(own.map((share, kind) => Math.min(share, other[kind]!)))
  return alike < MIN_OVERLAP ? [reason('other-running', { before: mostly(own), after: mostly(other) })] : null
}

function otherSpeed({ before, after }: Sides<readonly Pass[]>): Reason[] {
  const [own, other] = [before, after].map((passes) => describeSide(passes, passes.length).speedRpm!)
  const factor = Math.max(own!, other!) / Math.min(own!, other!)
  const times = MULTIPLES.find((multiple) => Math.abs(factor / multiple - 1) < MULTIPLE_TOLERANCE)
  const reasons = [reason('other-speed', { before: rpmWords(own!), after: rpmWords(other!) })]
  return times ? [...reasons, reason('speed-multiple', { times })] : reasons
}

/** Multiples a crank speed is most easily taken for. Chosen: those that the ear's own readings are confused with. */
const MULTIPLES = [1.5, 2, 3, 4]

function openSpeeds(heard: Sides<readonly Pass[]>): Reason[] {
  return SIDES.filter((side) => heard[side].some(({ analysis }) => analysis.ambiguous)).map((side) =>
    reason('speed-open', { side }),
  )
}

/** Share of the known turns in each kind of running. */
function kindShares(passes: readonly Pass[]): number[] {
  const turns = new Array<number>(COMPARED_KINDS.length).fill(0)
  for (const { kind, known } of passes)
    known.forEach((weight, i) => {
      turns[kind[i]!]! += weight
    })
  const all = sum(turns)
  return turns.map((weight) => weight / all)
}

const KIND_WORDS = ['idling', 'pulling', 'steady running']
const mostly = (shares: readonly number[]): string => KIND_WORDS[shares.indexOf(Math.max(...shares))]!

/** 4683 → `4,700`. */
function rpmWords(rpm: number): string {
  return String(Math.round(rpm / 50) * 50).replace(/\B(?=(\d{3})+$)/g, ',')
}

function sum(values: ArrayLike<number>): number {
  let total = 0
  for (let i = 0; i < values.length; i++) total += values[i]!
  return total
}
