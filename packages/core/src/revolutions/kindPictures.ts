import { ENVELOPE_BANDS, TURN_BANDS } from '../bands/constants.js'
import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
import { dot } from '../math/dot.js'
import { clamp, ramp } from '../math/stats.js'
import type { ResidualBand } from '../turns/vectors.js'
import { WINDOW_HOP, WINDOW_TURNS, type WindowEvidence } from './windows.js'

/**
 * What sets one kind of turn apart from the other in a window: the residual envelopes summed with the weights of the
 * leading component, every band scaled to unit length.
 *
 * It hardly depends on speed, so it tells which windows of a run hear the same two kinds: on both simulators pictures
 * whose likeness (mean cosine of the bands) passes 0.3 have the same sign in 98 to 100 % of pairs of windows.
 */
export type KindPicture = readonly Float64Array[]

/** The picture of every window; `kind` says how much each turn of window `w` is of one kind or the other. */
export function kindPictures(
  residuals: readonly ResidualBand[],
  windows: readonly WindowEvidence[],
  kind: (w: number) => ArrayLike<number> = (w) => windows[w]!.component,
): KindPicture[] {
  const most = Math.max(0, ...windows.map((w) => w.turns))
  const layout = makeLayout()
  const sound = layout.take(most * Math.max(...ENVELOPE_BANDS.map((i) => residuals[i]!.points)))
  const weights = layout.take(2 * most)
  const summed = layout.take(2 * Math.max(...ENVELOPE_BANDS.map((i) => residuals[i]!.points)))
  const kernels = borrowKernels(layout.total())
  const { floats, doubles } = kernels
  return windows.map(({ firstTurn, turns }, w) => {
    doubles.set(kind(w), weights / 2)
    return ENVELOPE_BANDS.map((i) => {
      const { points, values } = residuals[i]!
      floats.set(values.subarray(firstTurn * points, (firstTurn + turns) * points), sound)
      kernels.addRows(sound, weights, turns, points, summed)
      return toUnitLength(doubles.slice(summed / 2, summed / 2 + points))
    })
  })
}

/** Share a reference keeps from one window to the next: a horizon of about 100 windows, 400 turns. Fitted by hand. */
const KEPT = 0.99
/** Likeness of two pictures that tells nothing about their sign, and one that settles it. */
const SIGN_LIKENESS = { none: 0.1, full: 0.3 } as const
/**
 * Likeness with the rest of the run that speaks neither for nor against two kinds, log-odds a unit, and their limits.
 * Nine of ten clean windows of both simulators stay below 0.4, half of those that skip pass 0.8 (2026-11-25).
 */
const KINDS_LIKENESS = { even: 0.3, logitPerUnit: 8, least: -1, most: 3 } as const
/** Weight of other windows' pictures from which the likeness is fully believed. */
const FULL_REFERENCE = 5

/** Log-odds of two kinds from which a window lends its picture to others, and lends it wholly. */
const SURE_KINDS = { from: 2, full: 4.5 } as const
/** Windows so far apart share no turn. */
const WINDOWS_APART = WINDOW_TURNS / WINDOW_HOP

/** How the kinds of a window correspond to those of the windows before it. */
export interface KindLink {
  /** 1 when the picture has the sign of the reference, −1 when it is upside down. */
  readonly sign: 1 | -1
  /** 0–1: how surely. */
  readonly trust: number
}

/** Follows the two kinds of turn through a run by their pictures; windows without weight neither follow nor lead. */
export function linkKinds(pictures: readonly KindPicture[], weights: readonly number[]): KindLink[] {
  const reference = emptyReference()
  return pictures.map((picture, w) => {
    if (weights[w]! <= 0) return { sign: 1, trust: 0 }
    const likeness = reference.weight > 0 ? meanCosine(reference.sums, picture) : 1
    const trust = ramp(Math.abs(likeness), SIGN_LIKENESS.none, SIGN_LIKENESS.full)
    const sign = likeness < 0 ? -1 : 1
    take(reference, picture, sign * trust * weights[w]!)
    return { sign, trust }
  })
}

/**
 * Log-odds for two kinds of turn in each window from how much its picture is like those of the surer windows of the
 * run that share no turn with it. Clean running differs from turn to turn in ways of its own, skipping always in one.
 */
export function likenessLogits(pictures: readonly KindPicture[], logits: readonly number[]): number[] {
  const earlier = emptyReference()
  const before = pictures.map((_, w) => {
    lend(earlier, pictures, logits, w - WINDOWS_APART)
    return { sums: earlier.sums.map((x) => x.slice()), weight: earlier.weight }
  })
  const after = emptyReference()
  const out = new Array<number>(pictures.length)
  for (let w = pictures.length - 1; w >= 0; w--) {
    lend(after, pictures, logits, w + WINDOWS_APART)
    const { sums, weight } = before[w]!
    const sign = meanCosine(sums, after.sums) < 0 ? -1 : 1
    const joint = sums.map((x, i) => x.map((v, p) => v + sign * after.sums[i]![p]!))
    const likeness = Math.abs(meanCosine(joint, pictures[w]!))
    const logit = KINDS_LIKENESS.logitPerUnit * (likeness - KINDS_LIKENESS.even)
    const belief = Math.min(1, (weight + after.weight) / FULL_REFERENCE)
    out[w] = belief * clamp(logit, KINDS_LIKENESS.least, KINDS_LIKENESS.most)
  }
  return out
}

/** Adds the picture of window `w`, the right way up, as far as two kinds of turn are sure there. */
function lend(to: Reference, pictures: readonly KindPicture[], logits: readonly number[], w: number): void {
  const picture = pictures[w]
  if (!picture) return
  const weight = ramp(logits[w]!, SURE_KINDS.from, SURE_KINDS.full)
  if (weight > 0) take(to, picture, meanCosine(to.sums, picture) < 0 ? -weight : weight)
}

interface Reference {
  readonly sums: Float64Array[]
  weight: number
}

function emptyReference(): Reference {
  return { sums: ENVELOPE_BANDS.map((i) => new Float64Array(TURN_BANDS[i]!.points)), weight: 0 }
}

function take(reference: Reference, picture: KindPicture, gain: number): void {
  reference.weight = KEPT * reference.weight + Math.abs(gain)
  reference.sums.forEach((sum, i) => {
    for (let p = 0; p < sum.length; p++) sum[p] = KEPT * sum[p]! + gain * picture[i]![p]!
  })
}

function toUnitLength(x: Float64Array): Float64Array {
  const length = Math.sqrt(dot(x, x)) + 1e-12
  for (let p = 0; p < x.length; p++) x[p] = x[p]! / length
  return x
}

function meanCosine(a: readonly Float64Array[], b: readonly Float64Array[]): number {
  let sum = 0
  for (let i = 0; i < a.length; i++)
    sum += dot(a[i]!, b[i]!) / (Math.sqrt(dot(a[i]!, a[i]!) * dot(b[i]!, b[i]!)) + 1e-12)
  return sum / a.length
}
