import type { Turns } from '../crank/types.js'
import { EAR_RATE_HZ } from '../ear/constants.js'
import { median } from '../math/stats.js'

/** Turns on either side that make the mean waveform of a turn. Chosen: short enough for a speed that changes. */
const REACH = 4
/** Points of a waveform: orders 1 to 12 of the crank. Chosen: what repeats best on real engines. */
const POINTS = 24
/** Turns are looked at evenly spread, from so many on and fewer than twice as many. Chosen: keeps the time bounded. */
const ENOUGH_TURNS = 300

/**
 * Energy that repeats from turn to turn against energy that does not, dB: median over the turns.
 *
 * @param sound at 16,000 Hz
 * @returns null without nine turns in a row; noise alone gives about −9
 */
export function pulseToNoiseDb(sound: Float32Array, turns: Turns): number | null {
  const count = turns.startS.length
  const step = Math.max(1, Math.floor(count / ENOUGH_TURNS))
  const ratios: number[] = []
  for (let n = REACH; n + REACH < count; n += step) {
    if (turns.stretch[n - REACH] !== turns.stretch[n + REACH]) continue
    const waveforms = Array.from({ length: 2 * REACH + 1 }, (_, k) => pictureOf(sound, turns, n + k - REACH))
    ratios.push(10 * Math.log10(repeatedOverRest(waveforms)))
  }
  return ratios.length > 0 ? median(ratios) : null
}

/** Sound of one turn in even steps of the crank, without its mean. */
function pictureOf(sound: Float32Array, { startS, durationS }: Turns, turn: number): Float64Array {
  const first = startS[turn]! * EAR_RATE_HZ
  const width = (durationS[turn]! * EAR_RATE_HZ) / POINTS
  const waveform = Float64Array.from({ length: POINTS }, (_, p) => {
    const from = Math.round(first + p * width)
    const to = Math.max(from + 1, Math.round(first + (p + 1) * width))
    let sum = 0
    for (let i = from; i < to; i++) sum += sound[i] ?? 0
    return sum / (to - from)
  })
  const mean = waveform.reduce((sum, x) => sum + x, 0) / POINTS
  return waveform.map((x) => x - mean)
}

function repeatedOverRest(waveforms: readonly Float64Array[]): number {
  let repeated = 1e-20
  let all = 2e-20
  for (let p = 0; p < POINTS; p++) {
    let sum = 0
    for (const waveform of waveforms) {
      sum += waveform[p]!
      all += waveform[p]! ** 2
    }
    repeated += sum ** 2 / waveforms.length
  }
  return repeated / Math.max(1e-20, all - repeated)
}
