import { clamp, logistic, mean, ramp } from '../math/stats.js'
import type { CutBand, RunTurns } from '../turns/index.js'
import { FIRED_KIND, FIRED_KIND_SCORE, IDLE_VOTE, SURE_ERRORS } from './constants.js'
import { type KindLink, kindPictures, linkKinds } from './kindPictures.js'
import { overTurns } from './stitch.js'
import { WINDOW_HOP, WINDOW_TURNS, type WindowEvidence } from './windows.js'

/** Loudness of every turn in decibels, one series a band of {@link FIRED_KIND_SCORE}. */
type TurnSounds = readonly Float64Array[]

/** What a span of windows says about the two kinds, summed with the weights of its windows. */
interface KindSums {
  /** Turns of the rarer kind that the sums rest on. */
  weight: number
  /** High kind less low kind, decibels, and variance within a kind; one entry a series, times weight. */
  readonly difference: Float64Array
  readonly variance: Float64Array
  /** Log-odds from the rarer kind at idle, times weight. */
  idle: number
}

/**
 * Chance, turn by turn, that the high kind of the stitched component is the one that fired.
 *
 * The shape does not tell. Loudness does, above 1 kHz first of all, where the blow-down of a burnt charge cracks:
 * differences between the kinds are taken within each window, where speed and load hardly change, pooled along the
 * run as far as the windows' pictures are alike, and counted in standard deviations within a kind.
 *
 * @param highKind chance of the high kind at each turn
 * @param twoKinds chance of there being two kinds
 */
export function highKindFired(
  turns: RunTurns,
  windows: readonly WindowEvidence[],
  highKind: Float64Array,
  twoKinds: Float64Array,
): Float64Array {
  const sounds = turnSounds(turns)
  const sums = windows.map((w) => windowSums(sounds, turns, w, highKind, twoKinds))
  const links = linkKinds(
    kindPictures(turns.residuals, windows, (w) => pictured(windows[w]!, highKind, twoKinds)),
    sums.map((s) => s.weight),
  )
  const chances = pooled(sums, links).map(firedChance)
  return overTurns(windows, highKind.length, (w) => chances[w]!, 0.5)
}

/** Agreement of a window's component with the labels below which it shows something else. */
const SAME_KINDS = 0.5

/** What a window's picture is taken from: its component, turned to the high kind, or the labels where it is another one. */
function pictured(
  { firstTurn, turns, component }: WindowEvidence,
  highKind: Float64Array,
  twoKinds: Float64Array,
): Float64Array {
  const own = twoKinds.slice(firstTurn, firstTurn + turns)
  const high = mean(own.map((two, i) => two * highKind[firstTurn + i]!)) / (mean(own) + 1e-12)
  const labelled = own.map((two, i) => two * (highKind[firstTurn + i]! - high))
  const along = labelled.reduce((sum, v, i) => sum + v * component[i]!, 0)
  if (Math.abs(along) < SAME_KINDS * Math.hypot(...labelled)) return labelled
  return component.map((v) => (along < 0 ? -v : v))
}

function turnSounds({ cuts, level }: RunTurns): TurnSounds {
  return FIRED_KIND_SCORE.map(({ band }) =>
    band === null ? level.map((v) => 20 * Math.log10(v + 1e-6)) : energyDb(cuts[band]!),
  )
}

function energyDb({ points, values, turns }: CutBand): Float64Array {
  return Float64Array.from({ length: turns }, (_, n) => {
    let sum = 0
    for (let p = n * points; p < (n + 1) * points; p++) sum += values[p]! ** 2
    return 10 * Math.log10(sum / points + 1e-12)
  })
}

function noSums(): KindSums {
  return {
    weight: 0,
    difference: new Float64Array(FIRED_KIND_SCORE.length),
    variance: new Float64Array(FIRED_KIND_SCORE.length),
    idle: 0,
  }
}

function windowSums(
  sounds: TurnSounds,
  turns: RunTurns,
  window: WindowEvidence,
  highKind: Float64Array,
  twoKinds: Float64Array,
): KindSums {
  const out = noSums()
  const from = window.firstTurn
  const to = from + window.turns
  let high = 1e-9
  let low = 1e-9
  for (let n = from; n < to; n++) {
    high += twoKinds[n]! * highKind[n]!
    low += twoKinds[n]! * (1 - highKind[n]!)
  }
  const weight = Math.min(high, low)
  if (weight < FIRED_KIND.fewestTurns) return out
  out.weight = weight
  out.idle = weight * idleLogit(turns, window, high / (high + low))
  sounds.forEach((x, i) => {
    const [a, b] = [true, false].map((isHigh) => {
      let sum = 0
      let square = 0
      for (let n = from; n < to; n++) {
        const p = twoKinds[n]! * (isHigh ? highKind[n]! : 1 - highKind[n]!)
        sum += p * x[n]!
        square += p * x[n]! ** 2
      }
      const mean = sum / (isHigh ? high : low)
      return { mean, scatter: Math.max(0, square - sum * mean) }
    })
    out.difference[i] = weight * (a!.mean - b!.mean)
    out.variance[i] = (weight * (a!.scatter + b!.scatter)) / (high + low)
  })
  return out
}

/** At idle firings are the exception (every 2 to 8 turns): the rarer kind is the likelier one to have fired. */
function idleLogit(turns: RunTurns, { firstTurn, turns: count }: WindowEvidence, highShare: number): number {
  const speedHz = count / (turns.startS[firstTurn + count]! - turns.startS[firstTurn]!)
  return (
    IDLE_VOTE.logit *
    ramp(speedHz, IDLE_VOTE.noneHz, IDLE_VOTE.fullHz) *
    clamp(3 * (1 - 2 * highShare), -1, 1)
  )
}

/** Share that a window's sums keep from one window to the next: a horizon of about 200 windows, 800 turns. */
const KEPT = 0.995

/** Sums of every window with those of its neighbours, seen from its own high kind. */
function pooled(sums: readonly KindSums[], links: readonly KindLink[]): KindSums[] {
  const out = sums.map(noSums)
  const carry = (order: readonly number[], withOwn: boolean) => {
    const held = noSums()
    for (const w of order) {
      const { sign, trust } = links[w]!
      if (withOwn) add(out[w]!, sums[w]!, 1, 1)
      add(out[w]!, held, trust, sign)
      shrink(held, KEPT)
      add(held, sums[w]!, trust, sign)
    }
  }
  const order = sums.map((_, w) => w)
  carry(order, true)
  carry([...order].reverse(), false)
  return out
}

function add(to: KindSums, from: KindSums, share: number, sign: 1 | -1): void {
  to.weight += share * from.weight
  to.idle += share * sign * from.idle
  for (let i = 0; i < to.difference.length; i++) {
    to.difference[i] = to.difference[i]! + share * sign * from.difference[i]!
    to.variance[i] = to.variance[i]! + share * from.variance[i]!
  }
}

function shrink(sums: KindSums, factor: number): void {
  sums.weight *= factor
  sums.idle *= factor
  for (let i = 0; i < sums.difference.length; i++) {
    sums.difference[i] = sums.difference[i]! * factor
    sums.variance[i] = sums.variance[i]! * factor
  }
}

/** Windows that hold a turn: sums over windows count it as often. */
const WINDOWS_A_TURN = WINDOW_TURNS / WINDOW_HOP

/** Few turns pull the differences towards 0: turns of one clip err together, so more of them make no other engine. */
function firedChance({ weight, difference, variance, idle }: KindSums): number {
  if (weight <= 0) return 0.5
  const belief = weight / (weight + FIRED_KIND.shrinkTurns)
  // Standard errors in one standard deviation: the variance of a difference is at most 2/turns of the rarer kind.
  const errorsPerSd = Math.sqrt(weight / WINDOWS_A_TURN / 2)
  let logit = (belief * idle) / weight
  FIRED_KIND_SCORE.forEach(({ logitPerSd, logitIfSure }, i) => {
    const sd = Math.max(FIRED_KIND.leastSdDb, Math.sqrt(variance[i]! / weight))
    const sds = difference[i]! / weight / sd
    logit += belief * logitPerSd * clamp(sds, -FIRED_KIND.mostSds, FIRED_KIND.mostSds)
    logit += logitIfSure * Math.tanh((sds * errorsPerSd) / SURE_ERRORS)
  })
  return logistic(logit)
}
