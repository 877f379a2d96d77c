import { clamp, Z95 } from '../math/stats.js'
import { student95, studentBelow } from '../math/student.js'
import { wilsonInterval } from '../ratio/wilson.js'
import { HEARING, type Hearing } from './constants.js'
import type { SideShare } from './sideShare.js'

/** Distance from a value down and up to the ends of an interval, >= 0. */
export interface Reach {
  readonly down: number
  readonly up: number
}

/** The change of the misfire ratio with everything that makes it unsure, apart. */
export interface Difference {
  /** After minus before. */
  readonly value: number
  readonly low: number
  readonly high: number
  readonly freedom: number
  /** Chance that the true change is below zero, 0–1. */
  readonly chanceBelow: number
  /** 95 % reach of what more passes would shrink, and of what they would not. */
  readonly chance: Reach
  readonly hearing: Reach
  /** What the other reading of an open crank speed adds. */
  readonly open: Reach
}

/**
 * Difference of two independent shares from the interval of each: square and add.
 *
 * @param before value and interval, 0–1
 * @param after  the same
 * @returns how far the difference after − before reaches down and up
 * @see Newcombe, "Interval estimation for the difference between independent proportions: comparison of eleven methods",
 *   Statistics in Medicine 17 (1998) 873–890, method 10; Zou & Donner, "Construction of confidence limits about effect
 *   measures: a general approach", Statistics in Medicine 27 (2008), for any two intervals
 */
export function differenceReach(
  before: { readonly value: number; readonly interval: readonly [number, number] },
  after: { readonly value: number; readonly interval: readonly [number, number] },
): Reach {
  return {
    down: Math.hypot(after.value - after.interval[0], before.interval[1] - before.value),
    up: Math.hypot(after.interval[1] - after.value, before.value - before.interval[0]),
  }
}

/**
 * The change of the misfire ratio with its 95 % interval.
 *
 * Three kinds of doubt are joined:
 * 1. chance: skips come in runs, and passes of one engine differ. Wilson's interval of each side for an effective number
 *    of turns, widened to Student's t; the spread seen between the passes of a side corrects the default one, so that one
 *    stray clip widens its own side as far as it should;
 * 2. hearing: every believable reading of the labels. What one engine's skips are misheard for on one side they are mostly
 *    misheard for on the other, so that much of it cancels; turns of which nothing is known may all have fired or all been
 *    skipped;
 * 3. an open crank speed: both readings are covered in full. What both sides leave open alike is read alike on both.
 * 1 and 2 by square and add, 3 on top.
 *
 * @param hearing how unsure; other than the default only while fitting
 * @remarks Exact under a swap of the sides: value and bounds change sign, `chanceBelow` becomes 1 − itself.
 * @see Welch, "The generalization of Student's problem when several different population variances are involved",
 *   Biometrika 34 (1947), for the degrees of freedom
 */
export function difference(before: SideShare, after: SideShare, hearing: Hearing = HEARING): Difference {
  const freedom = welchFreedom(before, after, hearing)
  const student = student95(freedom)
  const share = (side: SideShare) => ({
    value: side.value,
    interval: chanceInterval(side, hearing, student / Z95),
  })
  const chance = differenceReach(share(before), share(after))
  const value = after.value - before.value
  const wrong = Z95 * misheard(before, after, hearing)
  const heard = {
    down: Math.hypot(wrong, after.hiddenDown + before.hiddenUp),
    up: Math.hypot(wrong, after.hiddenUp + before.hiddenDown),
  }
  const open = openReach(before, after)
  const down = Math.hypot(chance.down, heard.down) + open.down
  const up = Math.hypot(chance.up, heard.up) + open.up
  const towardsZero = value < 0 ? up : down
  return {
    value,
    low: Math.max(-1, value - down),
    high: Math.min(1, value + up),
    freedom,
    chanceBelow: towardsZero > 0 ? studentBelow((-value * student) / towardsZero, freedom) : 0.5,
    chance,
    hearing: heard,
    open,
  }
}

/**
 * What the other reading of open crank speeds adds. Sides that both leave twice the speed open, or both half of it, run at one speed:
 * then both are read otherwise, or neither; else either may be.
 */
function openReach(before: SideShare, after: SideShare): Reach {
  const [own, other] = [before, after].map(({ openDown, openUp }) => ({
    shift: openUp - openDown,
    oneWay: openUp === 0 || openDown === 0,
  }))
  if (!own!.oneWay || !other!.oneWay || own!.shift * other!.shift <= 0)
    return { down: after.openDown + before.openUp, up: after.openUp + before.openDown }
  const change = other!.shift - own!.shift
  return { down: Math.max(0, -change), up: Math.max(0, change) }
}

const freedomOf = (side: SideShare, { priorFreedom }: Hearing): number => priorFreedom + side.freedom

/** Wilson's interval for as many independent turns as give the side's variance; `widening` is Student's t over the normal. */
function chanceInterval(side: SideShare, hearing: Hearing, widening: number): [number, number] {
  const dispersion = (hearing.priorFreedom + side.spread) / freedomOf(side, hearing)
  return wilsonInterval(side.value, side.effective / (dispersion * widening ** 2))
}

/** Degrees of freedom of a difference of two sides whose passes may differ unlike far: few where the worse side decides. */
function welchFreedom(before: SideShare, after: SideShare, hearing: Hearing): number {
  const [own, other] = [before, after].map((side) => {
    const [low, high] = chanceInterval(side, hearing, 1)
    return { variance: (high - low) ** 2, freedom: freedomOf(side, hearing) }
  })
  const each = own!.variance ** 2 / own!.freedom + other!.variance ** 2 / other!.freedom
  return (own!.variance + other!.variance) ** 2 / each
}

/** How unsure a side is of what it hears, 95 %, with what nothing is known of. */
const doubt = ({ value, low, high, unknown }: SideShare): number =>
  Math.max(high - value, value - low) + unknown

/**
 * Standard deviation of what may be misheard of the change.
 *
 * One engine is misheard alike before and after, so what counts most is by how much one side is less sure than the other: by the
 * square, since where both are fairly sure they are fairly right. The less sure side makes up skips as often as it misses them, so
 * it is the same up and down.
 */
function misheard(before: SideShare, after: SideShare, hearing: Hearing): number {
  const { baseSd, apartSds, alikeSds } = hearing
  const [own, other] = [doubt(before), doubt(after)]
  return Math.hypot(baseSd, apartSds * (other ** 2 - own ** 2), alikeSds * (other + own))
}

/** 95 % interval of one side alone, where nothing cancels. */
export function aloneInterval(side: SideShare): [number, number] {
  const [low, high] = chanceInterval(side, HEARING, student95(freedomOf(side, HEARING)) / Z95)
  return [
    clamp(
      side.value - Math.hypot(side.value - low, side.value - side.low, side.hiddenDown) - side.openDown,
      0,
      1,
    ),
    clamp(
      side.value + Math.hypot(high - side.value, side.high - side.value, side.hiddenUp) + side.openUp,
      0,
      1,
    ),
  ]
}
