import { clamp, mean } from '../math/stats.js'
import type { Arena } from './arena.js'
import { clamped, correlation, deviation, inDeviations, LEAST_SD } from './deviations.js'
import { makeDirections } from './directions.js'
import { louderAround, makeProfiler, PROFILE, type Profiler } from './loudness.js'
import { putColumn } from './putColumn.js'
import { makeRegression, type Regression, SKETCH, SKETCHES } from './regression.js'
import { findRhythm } from './strictestRhythm.js'
import { nearMeans } from './turnParts.js'
import { REACH } from './turnWaveforms.js'
import { findTwoGroups } from './twoGroups.js'

/** Turns that kinds are sought over, about. Given by the model, as are all numbers of this file. */
const BLOCK = 384
const ROUNDS = 3
/** Standard deviations beyond which a turn says no more. */
const FARTHEST = 3
const FARTHEST_SIDE = 4
const STEEPNESS = 1.5
/** How far apart two groups are that say nothing, and the most that is told of what goes beyond. */
const ONE_KIND_APART = 2.6
const MOST_APART = 6
/** From where on, and over how much, groups are trusted. */
const SURE_APART = 3
const SURE_OVER = 2
/** The most that is told of one beat and of all; from where on rhythm is trusted, fully one higher; beats that are told. */
const MOST_BEAT = 2
const MOST_RHYTHM = 4
const STEADY_RHYTHM = 0.5
const TOLD_BEATS = 3

/** Numbers of a turn that a {@link KindTeller} gives. */
export const KIND_COLUMNS = 18 + 15 + 3 * PROFILE

/**
 * Tells whether a run holds two kinds of turn, and of which kind each turn is, from what is thought of the turns: puts
 * {@link KIND_COLUMNS} numbers into each row of `width`, from place `from` on.
 */
export type KindTeller = (logits: Float32Array, rows: Float32Array, width: number, from: number) => void

/** A number of every turn of a block, or one for all of them. */
type Column = ArrayLike<number> | number

/** What the kinds of a run's turns are sought in; one number a turn unless said otherwise. */
export interface KindEvidence {
  /** {@link SKETCHES} numbers a turn. */
  readonly sketches: Float32Array
  /** How loud the parts of every turn are, LOUDNESS numbers a turn. */
  readonly loudness: Float32Array
  /** Log-odds that the ear gave each turn. */
  readonly fired: Float32Array
  /** How much of the mean of the turns near by is in each turn, of plain and of pre-emphasised sound. */
  readonly gains: readonly [Float32Array, Float32Array]
  /** How strong the rest is, and how late each turn comes, of plain sound. */
  readonly strength: Float32Array
  readonly shift: Float32Array
}

/**
 * Makes ready to tell the kinds of a run's turns.
 *
 * Seeks three directions in the sketches of turns. Along the first, what is thought of the turns can be told again: a linear
 * regression with a ridge, cross-validated, so that chance finds none. Where the sound holds two kinds, a weak thought of a few turns
 * becomes a clear one of all; where it holds one, nothing comes back. Along the second the turns fall into two groups, along the
 * third they repeat themselves most strictly, whatever was thought. What these have in common with loudness and haste says which side
 * fires; where around a turn they go with loudness says whether the pulse belongs to this turn or to the next.
 *
 * @param arena where it keeps the sketches for as long as it is used
 * @returns takes the log-odds that every turn fired, and tells of every turn, by place:
 *
 *   - 0 to 5: side after the first round times the correlation at 2; side after the last round, in standard deviations; correlation of the
 *     first round's sides with what was thought, −1 to 1; excess kurtosis and skewness of the sides; the log-odds themselves
 *   - 6 to 17, of the two groups, the one thought to fire being above: side; how far apart; share above; size of the correlation with what
 *     was thought; correlations with both gains, with strength, with the change of shift, with the gain of the turn after, with the sides
 *     at 1; the side as far as the groups are trusted, alone and where they agree with what was thought
 *   - 18 to 32, of the strictest rhythm: side; how far it stands out after two, three and four turns, and in all; the rest as of the groups
 *   - 33 on, three times {@link PROFILE} correlations of loudness: with what was thought, the side of the groups, that of the rhythm
 */
export function makeKindTeller(arena: Arena, evidence: KindEvidence): KindTeller {
  const turns = evidence.fired.length
  const apart = apartOf(evidence.sketches)
  const around = louderAround(evidence.loudness)
  const count = Math.max(1, Math.round(turns / BLOCK))
  const blocks = Array.from({ length: count }, (_, k) => {
    const [first, end] = [Math.floor((k * turns) / count), Math.floor(((k + 1) * turns) / count)]
    const own = apart.subarray(first * SKETCHES, end * SKETCHES)
    for (let channel = 0; channel < SKETCHES; channel += SKETCH) normalise(own, channel)
    const cut = (column: Float32Array) => column.subarray(first, end)
    const where = makeProfiler(around.subarray(first * PROFILE, end * PROFILE))
    return { first, end, tell: blockTeller(arena, own, evidence, cut, where) }
  })
  return (logits, rows, width, from) => {
    for (const { first, end, tell } of blocks)
      tell(logits.subarray(first, end)).forEach((column, c) => {
        putColumn(column, rows.subarray(first * width, end * width), width, from + c)
      })
  }
}

/** Sketches less the mean of those near by. */
function apartOf(sketches: Float32Array): Float32Array {
  const means = nearMeans(sketches, SKETCHES, REACH)
  return sketches.map((x, i) => x - means[i]!)
}

/** Columns of a block of turns. */
function blockTeller(
  arena: Arena,
  sketches: Float32Array,
  evidence: KindEvidence,
  cut: (column: Float32Array) => Float32Array,
  where: Profiler,
): (logits: Float32Array) => Column[] {
  const told = makeRegression(arena, sketches)
  const mark = arena.used()
  const directions = makeDirections(arena, sketches)
  const [fired, plain, sharp, strength, shift] = [
    evidence.fired,
    ...evidence.gains,
    evidence.strength,
    evidence.shift,
  ].map(cut) as [Float32Array, Float32Array, Float32Array, Float32Array, Float32Array]
  const hastes = shift.map((x, n) => (shift[n + 1] ?? 0) - x)
  const gainsAfter = plain.map((_, n) => plain[n + 1] ?? 0)
  // Heard once: which side is above matters to the signs alone.
  const found = (side: Float64Array, strengths: readonly number[], trust: number): Found => ({
    side,
    strengths,
    trust: clamp(trust, 0, 1),
    alike: [plain, sharp, strength, hastes, gainsAfter].map((column) => correlation(side, column)),
    profile: where(side),
  })
  const { side, apart } = findTwoGroups(arena, directions, told, [fired, plain, sharp])
  const groups = found(side, [clamp(apart - ONE_KIND_APART, 0, MOST_APART)], (apart - SURE_APART) / SURE_OVER)
  const { side: beaten, beats } = findRhythm(arena, directions, told)
  const inAll = Math.min(Math.hypot(...beats), MOST_RHYTHM)
  const toldBeats = [...beats.subarray(0, TOLD_BEATS)].map((beat) => clamp(beat, -MOST_BEAT, MOST_BEAT))
  const rhythm = found(beaten, [...toldBeats, inAll], inAll - STEADY_RHYTHM)
  arena.release(mark)
  return (logits) => {
    const wanted = clamped(inDeviations(logits, 1e-3), FARTHEST)
    const again = tellAgain(told, wanted)
    const sides = [groups, rhythm].map((one) => tellSide(one, wanted, again.side))
    const profiles = [where(wanted), ...sides.map(({ profile }) => profile)].flat()
    return [...again.columns, logits, ...sides.flatMap(({ columns }) => columns), ...profiles]
  }
}

/** Two sides that turns may be on, whatever was thought of them; which one is above is by chance. */
interface Found {
  /** How far every turn is on its side, standard deviations. */
  readonly side: Float64Array
  /** How clear it is that there are two. */
  readonly strengths: readonly number[]
  /** How far to trust them, 0–1. */
  readonly trust: number
  /** Correlations of the sides with what was heard of the turns. */
  readonly alike: readonly number[]
  /** Correlations with loudness around the turns. */
  readonly profile: readonly number[]
}

/** What regressions say of what is thought of the turns of a block. */
function tellAgain(told: Regression, thought: Float64Array): { side: Float64Array; columns: Column[] } {
  let side = inDeviations(told(thought), LEAST_SD)
  const likeness = mean(side.map((x, n) => x * thought[n]!)) / (deviation(thought) + LEAST_SD)
  const once = side.map((x) => x * Math.max(0, likeness))
  for (let round = 1; round < ROUNDS; round++) {
    const wanted = inDeviations(
      side.map((x) => Math.tanh(STEEPNESS * x)),
      LEAST_SD,
    )
    side = inDeviations(told(wanted), LEAST_SD)
  }
  side = clamped(side, FARTHEST_SIDE)
  const columns = [once, side, likeness, mean(side.map((x) => x ** 4)) - 3, mean(side.map((x) => x ** 3))]
  return { side, columns }
}

/** What is told of two sides, the one that is thought to fire being above. @param again sides by what was thought */
function tellSide(
  { side, strengths, trust, alike, profile }: Found,
  thought: Float64Array,
  again: Float64Array,
): { columns: Column[]; profile: number[] } {
  const agrees = correlation(side, thought)
  const sign = agrees < 0 ? -1 : 1
  const turned = side.map((x) => sign * x)
  const told = clamped(turned, FARTHEST_SIDE)
  const columns = [
    told,
    ...strengths,
    mean(turned.map((x) => (x > 0 ? 1 : 0))),
    Math.abs(agrees),
    ...[...alike, correlation(side, again)].map((correlated) => sign * correlated),
    told.map((x) => x * trust),
    told.map((x) => x * trust * Math.min(1, 2 * Math.abs(agrees))),
  ]
  return { columns, profile: profile.map((x) => sign * x) }
}

/** Brings the sketches of one channel to a mean square of 1. */
function normalise(sketches: Float32Array, first: number): void {
  let square = 0
  for (let row = first; row < sketches.length; row += SKETCHES)
    for (let c = row; c < row + SKETCH; c++) square += sketches[c]! ** 2
  const gain = 1 / (Math.sqrt(square / (sketches.length / 2)) + 1e-9)
  for (let row = first; row < sketches.length; row += SKETCHES)
    for (let c = row; c < row + SKETCH; c++) sketches[c]! *= gain
}
