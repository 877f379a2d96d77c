import { median, quantile } from '../math/stats.js'

/** Lengths of a hole, seconds: the smallest block that a browser hands over lasts 2.7 ms; beyond a fifth of a second it is a pause. Chosen. */
const LEAST_S = 0.002
const MOST_S = 0.2
/** Sound before a hole that its edge is held against, seconds. Chosen. */
const BEFORE_S = 0.005
/** Time in which sound falls into a hole, seconds: the ringing of a filter that changed its rate afterwards. Chosen. */
const FALL_S = 0.001
/** Least height it falls from, as a share of the root mean square before: sound that dies away is nearly nothing by then. Chosen. */
const FALL_SHARE = 0.2
/** Least root mean square before it, in smallest steps of the sound there: what is nearly too quiet for its bits has none. Chosen. */
const LEAST_STEPS = 10
/** More of them a second may lie in the sound itself, a made one for instance that is cut off turn by turn. Chosen: every other turn at 960 rpm. */
const MANY_A_SECOND = 8
/**
 * In such sound the tenth part of what sounds between holes that is shortest is as long as this share of the middle one, or longer.
 * Chosen: 0.15 where holes come at random, 1 where they come with the turns.
 */
const EVEN_SHARE = 0.5

/**
 * How often a second the sound stops dead for a few milliseconds, as where a busy phone loses some of it.
 *
 * A hole is a row of samples that are exactly zero, 2 to 200 ms long, into which loud sound falls within a millisecond.
 *
 * @returns 0 where more than eight come evenly: then they belong to the sound
 * @remarks Sound that is missing without a trace, and holes that went through a lossy coder, are not found.
 */
export function holesPerSecond(samples: Float32Array, rateHz: number): number {
  const least = Math.ceil(LEAST_S * rateHz)
  const most = Math.floor(MOST_S * rateHz)
  const soundingS: number[] = []
  let holes = 0
  let lastEnd = 0
  // One of the places looked at lies in every row that is long enough.
  for (let at = 0; at < samples.length; at += least) {
    if (samples[at] !== 0) continue
    let first = at
    while (first > 0 && samples[first - 1] === 0) first--
    let end = at + 1
    while (end < samples.length && samples[end] === 0) end++
    const length = end - first
    if (length >= least && length <= most && end < samples.length && isFallInto(samples, first, rateHz)) {
      holes++
      soundingS.push((first - lastEnd) / rateHz)
      lastEnd = end
    }
    at = Math.max(at, end - (end % least))
  }
  const perSecond = (holes * rateHz) / Math.max(1, samples.length)
  return perSecond > MANY_A_SECOND && areEven(soundingS) ? 0 : perSecond
}

function areEven(lengths: readonly number[]): boolean {
  return quantile(lengths, 0.1) >= EVEN_SHARE * median(lengths)
}

/** Does loud sound fall to zero at once, at the sample `first`? */
function isFallInto(samples: Float32Array, first: number, rateHz: number): boolean {
  const count = Math.min(first, Math.ceil(BEFORE_S * rateHz))
  let squares = 0
  let smallest = Infinity
  for (let i = first - count; i < first; i++) {
    const size = Math.abs(samples[i]!)
    squares += size ** 2
    if (size > 0) smallest = Math.min(smallest, size)
  }
  const rms = Math.sqrt(squares / count)
  const last = samples.subarray(Math.max(0, first - Math.ceil(FALL_S * rateHz)), first)
  return rms >= LEAST_STEPS * smallest && last.some((x) => Math.abs(x) >= FALL_SHARE * rms)
}
