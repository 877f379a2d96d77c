import { OptionError } from '../errors.js'
import type { Analysis } from '../types.js'
import { commonMix } from './commonMix.js'
import { MIN_PASS_TURNS, WORTH } from './constants.js'
import { describeSide } from './describeSide.js'
import { aloneInterval, difference } from './difference.js'
import { compareFigures, ofSegments } from './figures.js'
import { aWeightedLevel } from './loudness.js'
import { smallestChange, smallestWithMore } from './morePasses.js'
import { type Pass, toPass } from './passes.js'
import { passShare } from './passShare.js'
import { doubts, hindrances, poorSide, remark, wayOut } from './reasons.js'
import { reason } from './reasonTexts.js'
import { findRepeats } from './repeats.js'
import { fault, leftOut, obstacles, type Weighed } from './select.js'
import { settleSpeeds } from './settleSpeeds.js'
import { type SideShare, sideShare } from './sideShare.js'
import { onBoth, SIDES, type Sides } from './sides.js'
import type { ComparedSide, CompareOptions, Comparison, Reason } from './types.js'
import { verdictOf } from './verdict.js'

export const COMPARE_DEFAULTS: Required<CompareOptions> = { worth: WORTH, sameGain: false }

/**
 * Did the change help? Compares the clips before a change of the engine with those after it.
 *
 * Only turns of one kind of running (idle, pulling, steady) at like crank speed are compared, each side weighed to the mix
 * of both; with too little in common the verdict is `not-comparable`, and `unclear` where the recording of one side alone can
 * hide skips. The interval of the change holds what chance does
 * within and between clips and what may be misheard; noise that hides turns widens it. A crank speed that one clip leaves
 * open is settled by the other clips of its side, or else by the other side, which is said.
 *
 * @param before one analysis or more of the engine before the change, one a clip
 * @param after  the same after it
 * @param options missing fields come from {@link COMPARE_DEFAULTS}
 * @returns an answer for every pair of sides; swapping them flips it exactly
 * @throws {OptionError} `out-of-range` when a side has no clip or `worth` is not between 0 and 1; `conflict` when the clips
 *   were heard with different ears
 * @remarks Linear in the turns; with `sameGain` in the samples. Weak on: an engine that is misheard in one way before and
 *   in another after, as when the change alters its sound; a wrong crank speed that nothing gives away on both sides.
 * @example
 * const listen = (name) => analyze(toRecording(decodeWav(readFileSync(name))))
 * const before = [listen('cruise-needle-clip-2.wav')]
 * const after = [listen('cruise-needle-clip-3.wav')]
 * const { verdict, change } = compare(before, after, { worth: 0.05 })
 * verdict // 'helped'
 * change // { value: -0.26, low: -0.4, high: -0.1 }
 */
export function compare(
  before: readonly Analysis[],
  after: readonly Analysis[],
  options: CompareOptions = {},
): Comparison {
  const { worth, sameGain } = { ...COMPARE_DEFAULTS, ...options }
  const earVersion = checkInput(before, after, worth)
  const { given, heard, mix, counted, blocked, repeats, settled } = weighSides(before, after)
  if (blocked.length > 0) {
    const whole = onBoth((side) => weigh(heard[side], heard[side].map(everyTurn)))
    const unused = SIDES.flatMap((side) => leftOut(side, given[side], heard[side], repeats.clips[side]))
    return notComparable(given, whole, [...blocked, ...unused], {
      earVersion,
      worth,
      overlap: mix.overlap,
      sameGain,
    })
  }
  const shares = onBoth((side) => sideShare(counted[side].map(({ share }) => share)))
  const sides = onBoth((side) => compared(counted[side], given[side].length, shares[side]))
  const found = difference(shares.before, shares.after)
  const poor = poorSide(counted)
  const verdict = poor.length > 0 ? 'unclear' : verdictOf(found, worth)
  const unsettled = verdict === 'unclear' ? wayOut(found, sides, worth) : null
  return {
    earVersion,
    verdict,
    reasons: [
      ...poor,
      ...repeats.reasons,
      ...(unsettled ? [unsettled.reason] : []),
      ...remark(verdict, found, worth),
      ...settled,
      ...doubts(shares),
      ...(unsettled && poor.length === 0 ? hindrances(counted) : []),
      ...SIDES.flatMap((side) =>
        leftOut(
          side,
          given[side],
          counted[side].map(({ pass }) => pass),
          repeats.clips[side],
        ),
      ),
    ],
    worth,
    change: { value: found.value, low: found.low, high: found.high },
    chanceBetter: found.chanceBelow,
    smallestChange: smallestChange(found),
    smallestWithOneMore: smallestWithMore(found, Math.min(...SIDES.map((side) => shares[side].passes)), 1),
    toSettle: unsettled?.toSettle ?? null,
    overlap: mix.overlap,
    ...sides,
    ...otherFigures(counted, sameGain),
  }
}

/** Both sides weighed to their common mix, the clips that count in it, and why they do not compare where they do not. */
export function weighSides(before: readonly Analysis[], after: readonly Analysis[]) {
  const repeats = findRepeats(before, after)
  const speeds = settleSpeeds({ before: before.map(toPass), after: after.map(toPass) })
  const given = onBoth((side) => speeds[side].passes)
  const heard = onBoth((side) =>
    given[side].filter((pass, i) => fault(pass) === null && !repeats.clips[side].has(i)),
  )
  const mix = commonMix(heard.before, heard.after)
  const counted = onBoth((side) =>
    weigh(heard[side], mix[side]).filter(({ share }) => share.mass >= MIN_PASS_TURNS),
  )
  const found = obstacles(mix.overlap, given, heard, counted)
  // Where nothing but repeats is left on a side, they are why.
  const bothUsable = SIDES.every((side) => given[side].some((pass) => fault(pass) === null))
  const none = SIDES.some((side) => heard[side].length === 0)
  const blocked =
    none && bothUsable ? repeats.reasons : found.length > 0 ? [...found, ...repeats.reasons] : []
  const settled = SIDES.filter((side) => speeds[side].byOther).map((side) =>
    reason('speed-settled', { side }),
  )
  return { given, heard, mix, counted, repeats, blocked, settled }
}

/** Refuses what cannot be compared; returns the version of the ear that heard all of it. */
function checkInput(before: readonly Analysis[], after: readonly Analysis[], worth: number): string {
  if (before.length === 0 || after.length === 0)
    throw new OptionError('out-of-range', 'a comparison needs at least one clip before and one after')
  if (!(worth > 0 && worth < 1))
    throw new OptionError('out-of-range', `a margin of ${worth} is not between 0 and 1 (0.05 are 5 points)`)
  const versions = new Set([...before, ...after].map(({ earVersion }) => earVersion))
  if (versions.size > 1)
    throw new OptionError(
      'conflict',
      `clips heard with ${[...versions].join(' and ')} do not compare; hear all of them again`,
    )
  return before[0]!.earVersion
}

const everyTurn = ({ turn }: Pass): Float64Array => new Float64Array(turn.length).fill(1)

function weigh(passes: readonly Pass[], weights: readonly Float64Array[]): Weighed[] {
  return passes.map((pass, i) => ({ pass, weights: weights[i]!, share: passShare(pass, weights[i]!) }))
}

function compared(clips: readonly Weighed[], given: number, share: SideShare | null): ComparedSide {
  const facts = describeSide(
    clips.map(({ pass }) => pass),
    given,
  )
  if (!share) return { ...facts, misfireRatio: null, interval: null }
  const [low, high] = aloneInterval(share)
  return { ...facts, misfireRatio: share.value, interval: { low, high } }
}

/** Sides as each ran, and no word on the change. */
function notComparable(
  given: Sides<readonly Pass[]>,
  whole: Sides<readonly Weighed[]>,
  reasons: readonly Reason[],
  {
    earVersion,
    worth,
    overlap,
    sameGain,
  }: Required<CompareOptions> & Pick<Comparison, 'earVersion'> & { readonly overlap: number },
): Comparison {
  const side = onBoth((name) => {
    const clips = whole[name]
    const share = clips.length > 0 ? sideShare(clips.map((clip) => clip.share)) : null
    return compared(clips, given[name].length, share)
  })
  return {
    earVersion,
    verdict: 'not-comparable',
    reasons,
    worth,
    change: { value: null, low: null, high: null },
    chanceBetter: null,
    smallestChange: null,
    smallestWithOneMore: null,
    toSettle: null,
    overlap: SIDES.every((name) => whole[name].length > 0) ? overlap : null,
    ...side,
    ...otherFigures({ before: [], after: [] }, sameGain),
  }
}

function otherFigures(
  clips: Sides<readonly Weighed[]>,
  sameGain: boolean,
): Pick<Comparison, 'pop' | 'unevenness' | 'loudness'> {
  const over = (figure: (clip: Weighed) => number | null) =>
    compareFigures(clips.before.map(figure), clips.after.map(figure))
  return {
    pop: over(({ pass }) => ofSegments(pass, (segment) => segment.popDb)),
    unevenness: over(({ pass }) =>
      ofSegments(pass, (segment) => (segment.kind === 'steady' ? segment.unevenness : null)),
    ),
    loudness: sameGain ? over(({ pass, weights }) => aWeightedLevel(pass, weights)) : null,
  }
}
