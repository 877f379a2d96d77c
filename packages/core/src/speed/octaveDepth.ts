import type { BandSignal } from '../bands/index.js'
import { cutTurns, type TurnStarts } from '../turns/cut.js'

/** Points that a part of a turn is cut to. */
const POINTS = 32
/** Bound of a band's depth, dB: beyond this a band is sure, and must not outvote the others. Fitted by hand. */
const SURE_DB = 12
/** Share of a band's energy below which a part is lost in noise. */
const FLOOR = 0.01
/** Fewest turns from which a depth can be told. */
const FEWEST_TURNS = 8

/**
 * How much the parts of a turn differ from each other against what they share, when every turn is cut into `parts`.
 *
 * Both energies are taken between neighbouring turns, so that noise drops out. Parts of a real turn have little in
 * common (above about 0 dB); turns that were mistaken for parts share most of their sound even where every other one
 * is skipped (below about -1 dB), as the ports open in each.
 *
 * @param startS turn starts at the slower speed, seconds, length turns + 1
 * @returns mean over the bands, each bounded to ±12 dB; null for fewer than 8 turns
 */
export function partDepthDb(bands: readonly BandSignal[], startS: TurnStarts, parts: number): number | null {
  if (startS.length <= FEWEST_TURNS) return null
  let sum = 0
  for (const band of bands) {
    const { shared, own } = neighbourEnergies(band, startS, parts)
    const depth = 10 * Math.log10(Math.max(FLOOR, own) / Math.max(FLOOR, shared))
    sum += Math.max(-SURE_DB, Math.min(SURE_DB, depth))
  }
  return sum / bands.length
}

/** Products of neighbouring turns of what their parts share and of what is a part's own, as shares of all energy. */
function neighbourEnergies(band: BandSignal, startS: TurnStarts, parts: number) {
  const width = parts * POINTS
  const { turns, values } = cutTurns(band, startS, width)
  const common = new Float32Array(turns * POINTS)
  let energy = 0
  for (let n = 0; n < turns; n++) {
    let mean = 0
    for (let p = 0; p < width; p++) mean += values[n * width + p]! / width
    for (let q = 0; q < POINTS; q++) {
      let sum = 0
      for (let part = 0; part < parts; part++) {
        const at = n * width + part * POINTS + q
        values[at] = values[at]! - mean
        sum += values[at]!
        energy += values[at]! ** 2
      }
      common[n * POINTS + q] = sum / parts
    }
  }
  let all = 0
  let shared = 0
  for (let i = 0; i + width < values.length; i++) all += values[i]! * values[i + width]!
  for (let i = 0; i + POINTS < common.length; i++) shared += parts * common[i]! * common[i + POINTS]!
  return { shared: shared / (energy + 1e-20), own: (all - shared) / (energy + 1e-20) }
}
