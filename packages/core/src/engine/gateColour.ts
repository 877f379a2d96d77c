import type { RunTurns } from '../turns/index.js'

/** Length of half a syllable, seconds: speech is brightest and dullest at 3 to 8 changes a second. */
const SYLLABLE_S = 0.12

/** Root mean square change over {@link SYLLABLE_S} of each envelope's level against the mean of all, dB. */
export function colourChangeDb(turns: RunTurns): number {
  const { startS } = turns
  const count = startS.length - 1
  const lag = Math.max(1, Math.round(SYLLABLE_S / ((startS[count]! - startS[0]!) / count)))
  const levels = COLOUR_BANDS.map((band) => {
    const { points, values } = turns.cuts[band]!
    const sums = new Float64Array(count + 1)
    for (let n = 0; n < count; n++) {
      let sum = 0
      for (let p = n * points; p < (n + 1) * points; p++) sum += values[p]! ** 4
      sums[n + 1] = sums[n]! + sum / points
    }
    const span = Math.max(1, lag >> 1)
    return Float64Array.from({ length: Math.max(0, count - span) }, (_, n) => {
      return 10 * Math.log10((sums[n + span]! - sums[n]!) / span + 1e-12)
    })
  })
  let sum = 0
  let used = 0
  for (let n = 0; n + lag < levels[0]!.length; n++) {
    const steps = levels.map((x) => x[n + lag]! - x[n]!)
    const mean = steps.reduce((a, b) => a + b, 0) / steps.length
    for (const step of steps) sum += (step - mean) ** 2
    used += steps.length
  }
  return used > 0 ? Math.sqrt(sum / used) : 0
}
const COLOUR_BANDS = [3, 4, 5, 6]

/** Entropy of the energy of orders 1 to 16 in the low and middle waveforms of the mean turn, as a share of its most. */
export function orderSpread(turns: RunTurns): number {
  const cut = turns.cuts[1]!
  const { points } = cut
  const orders = 16
  const energy = new Float64Array(orders + 1)
  const group = 8
  for (let first = 0; first + group <= cut.turns; first += group) {
    const mean = new Float64Array(points)
    for (let n = first; n < first + group; n++)
      for (let p = 0; p < points; p++) mean[p] = mean[p]! + cut.values[n * points + p]!
    for (let k = 1; k <= orders; k++) {
      let re = 0
      let im = 0
      for (let p = 0; p < points; p++) {
        const angle = (2 * Math.PI * k * p) / points
        re += mean[p]! * Math.cos(angle)
        im += mean[p]! * Math.sin(angle)
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
