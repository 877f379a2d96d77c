import { DOUBTFUL_FROM, FREEDOM_COST, LEAST_FIT, ODD_TURN, PATTERN_REACH } from './constants.js'
import { CANNOT_TELL, PATTERNS } from './types.js'

/** A pattern that repeats: which turns of its period fire. */
interface Template {
  readonly pattern: number
  readonly fires: readonly boolean[]
}

/** Turns looked at at a time: keeps the memory bounded. Chosen. */
const BLOCK = 8192

const EVERY_TURN = PATTERNS.indexOf('every-turn')
const IRREGULAR = PATTERNS.indexOf('irregular')

/** Every pattern with one firing or one skip in its period, from each of its places. By definition. */
const TEMPLATES: readonly Template[] = [
  { pattern: 0, fires: [true] },
  ...[2, 3, 4].flatMap((period) =>
    Array.from({ length: period }, (_, place) =>
      (period === 2 ? [true] : [true, false]).map((lone) => ({
        pattern: period - 1,
        fires: Array.from({ length: period }, (_, n) => (n === place) === lone),
      })),
    ).flat(),
  ),
]
/** What each template pays for being one of several of its pattern: of many the best fits better by chance. */
const COSTS = TEMPLATES.map(({ pattern }) => Math.log(TEMPLATES.filter((t) => t.pattern === pattern).length))

/**
 * The running pattern that each turn belongs to.
 *
 * Around every turn the chances of 15 turns of its stretch are held against every template and against firing at random at
 * the rate seen; the likeliest wins. One odd turn leaves a pattern standing, and the freedom of an irregular one costs.
 *
 * @param fired   chances that the turns fired, 0–1
 * @param stretch of each turn, rising
 * @returns index into `PATTERNS` for each turn; `cannot-tell` where the chances say nothing
 * @remarks O(turns · templates)
 */
export function turnPatterns(fired: ArrayLike<number>, stretch: ArrayLike<number>): Uint8Array {
  const out = new Uint8Array(fired.length)
  for (let first = 0; first < out.length; ) {
    let end = first + 1
    while (end < out.length && stretch[end] === stretch[first]) end++
    for (let at = first; at < end; at += BLOCK) {
      // A block hears its neighbours, so that it makes no difference where it ends.
      const from = Math.max(first, at - PATTERN_REACH)
      const to = Math.min(end, at + BLOCK + PATTERN_REACH)
      const block = new Float64Array(to - from).map((_, n) => fired[from + n]!)
      out.set(patternsOf(block).subarray(at - from, Math.min(end, at + BLOCK) - from), at)
    }
    first = end
  }
  return out
}

function patternsOf(fired: Float64Array): Uint8Array {
  const turns = fired.length
  const told = fired.map((p) => Math.min(1 - ODD_TURN, Math.max(ODD_TURN, p)))
  const asFired = told.map((p) => Math.log(2 * p))
  const asSkipped = told.map((p) => Math.log(2 * (1 - p)))
  const fits = TEMPLATES.map(({ fires }) => templateSums(asFired, asSkipped, fires))
  const { rate, doubt } = rateAndDoubt(fired)
  const out = new Uint8Array(turns)
  for (let n = 0; n < turns; n++) {
    const first = Math.max(0, Math.min(n - PATTERN_REACH, turns - 2 * PATTERN_REACH - 1))
    const end = Math.min(turns, first + 2 * PATTERN_REACH + 1)
    const doubtful = doubt[end]! - doubt[first]! > DOUBTFUL_FROM * (end - first)
    const random = randomFit(told, first, end, (rate[end]! - rate[first]!) / (end - first))
    const { pattern, fit } = likeliest(fits, first, end, random)
    // A rhythm shows in doubtful turns too; that all are alike says nothing of them.
    out[n] = doubtful && (pattern === EVERY_TURN || fit < LEAST_FIT) ? CANNOT_TELL : pattern
  }
  return out
}

/** The pattern that fits the turns from `first` to before `end` best, where a random one fits as given. */
function likeliest(
  fits: readonly Float64Array[],
  first: number,
  end: number,
  random: number,
): { pattern: number; fit: number } {
  let pattern = IRREGULAR
  let most = random
  for (let k = 0; k < fits.length; k++) {
    const fit = fits[k]![end]! - fits[k]![first]! - COSTS[k]!
    if (fit <= most) continue
    most = fit
    pattern = TEMPLATES[k]!.pattern
  }
  return { pattern, fit: most }
}

/** Log-likelihood of a template over the turns before each, and over all. */
function templateSums(
  asFired: Float64Array,
  asSkipped: Float64Array,
  fires: readonly boolean[],
): Float64Array {
  const sums = new Float64Array(asFired.length + 1)
  for (let n = 0, place = 0; n < asFired.length; n++) {
    sums[n + 1] = sums[n]! + (fires[place] ? asFired[n]! : asSkipped[n]!)
    place = place + 1 === fires.length ? 0 : place + 1
  }
  return sums
}

/** Sums of the chances and of their doubt, 4 p (1 − p), over the turns before each, and over all. */
function rateAndDoubt(fired: Float64Array): { rate: Float64Array; doubt: Float64Array } {
  const rate = new Float64Array(fired.length + 1)
  const doubt = new Float64Array(fired.length + 1)
  for (let n = 0; n < fired.length; n++) {
    rate[n + 1] = rate[n]! + fired[n]!
    doubt[n + 1] = doubt[n]! + 4 * fired[n]! * (1 - fired[n]!)
  }
  return { rate, doubt }
}

/** Log-likelihood of firing at random at a rate. */
function randomFit(told: Float64Array, first: number, end: number, rate: number): number {
  let product = 1
  for (let n = first; n < end; n++) product *= 2 * (rate * told[n]! + (1 - rate) * (1 - told[n]!))
  return Math.log(product) - FREEDOM_COST
}
