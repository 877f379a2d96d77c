import { mean } from '../math/stats.js'
import type { CutBand, RunTurns } from '../turns/index.js'

/** Length of half a syllable, seconds: speech is brightest and dullest at 3 to 8 changes a second. */
const SYLLABLE_S = 0.12

/**
 * Root mean square change over {@link SYLLABLE_S} of each envelope's level against the mean of all, dB. Levels are means over
 * half that time without the loudest turns: a rattle in the pocket lights up single turns, a syllable all of them.
 */
export function colourChangeDb(turns: RunTurns): number {
  const { startS } = turns
  const count = startS.length - 1
  const lag = Math.max(1, Math.round(SYLLABLE_S / ((startS[count]! - startS[0]!) / count)))
  // Even, so that every span holds as many firings of an alternation.
  const span = 2 * Math.max(1, Math.round(lag / 4))
  const levels = COLOUR_BANDS.map((band) => levelsDb(turns.cuts[band]!, span))
  let sum = 0
  let used = 0
  for (let n = 0; n + lag < levels[0]!.length; n++) {
    let total = 0
    for (const x of levels) total += x[n + lag]! - x[n]!
    const all = total / levels.length
    for (const x of levels) sum += (x[n + lag]! - x[n]! - all) ** 2
    used += levels.length
  }
  return used > 0 ? Math.sqrt(sum / used) : 0
}

/** Share of a mean's turns that are left out, the loudest ones. A median would jump where every other turn fires. */
const LOUDEST_SHARE = 0.25

/** Mean energy of `span` turns from each on, without the loudest, dB. */
function levelsDb({ points, turns, values }: CutBand, span: number): Float64Array {
  const energy = Float64Array.from({ length: turns }, (_, n) => {
    let sum = 0
    for (let p = n * points; p < (n + 1) * points; p++) sum += (values[p]! * values[p]!) ** 2
    return sum / points
  })
  const kept = Math.max(1, span - Math.round(LOUDEST_SHARE * span))
  return Float64Array.from({ length: Math.max(0, turns - span) }, (_, n) => {
    const softest = energy
      .slice(n, n + span)
      .sort()
      .subarray(0, kept)
    return 10 * Math.log10(mean(softest) + 1e-12)
  })
}

const COLOUR_BANDS = [3, 4, 5, 6]

/** Entropy of the energy of orders 1 to 16 in the low and middle waveforms of the mean turn, as a share of its most. */
export function orderSpread(turns: RunTurns): number {
  const cut = turns.cuts[1]!
  const { points } = cut
  const orders = 16
  const energy = new Float64Array(orders + 1)
  const group = 8
  const mean = new Float64Array(points)
  const cos = Float64Array.from(mean, (_, p) => Math.cos((2 * Math.PI * p) / points))
  const sin = Float64Array.from(mean, (_, p) => Math.sin((2 * Math.PI * p) / points))
  for (let first = 0; first + group <= cut.turns; first += group) {
    mean.fill(0)
    for (let n = first; n < first + group; n++)
      for (let p = 0; p < points; p++) mean[p] = mean[p]! + cut.values[n * points + p]!
    for (let k = 1; k <= orders; k++) {
      let re = 0
      let im = 0
      for (let p = 0; p < points; p++) {
        const angle = (k * p) % points
        re += mean[p]! * cos[angle]!
        im += mean[p]! * sin[angle]!
      }
      energy[k] = energy[k]! + re * re + im * im
    }
  }
  const total = energy.reduce((a, b) => a + b, 0)
  if (!(total > 0)) return 0
  let entropy = 0
  for (const e of energy) if (e > 0) entropy -= (e / total) * Math.log(e / total)
  return entropy / Math.log(orders)
}
