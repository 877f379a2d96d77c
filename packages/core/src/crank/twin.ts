import { logistic, mean } from '../math/stats.js'
import {
  EVIDENCE_FRAMES,
  LEAST_CHANCE,
  OPEN_FROM,
  READING_BINS,
  READINGS,
  UNEXPECTED_LOGIT,
} from './constants.js'
import { binHz } from './path.js'
import type { Run } from './runs.js'
import type { Stretch, Trace } from './types.js'

/** The multiple that a run is read at. */
export interface ChosenMultiple
  extends Pick<Stretch, 'ambiguous' | 'alternativeFactor' | 'readingProbability'> {
  /** Bins that the reading lies above the first part of the run. */
  readonly above: number
}

/**
 * Settles the multiple of a run: all of it turns at one multiple of what the path says.
 *
 * Each reading is judged by the ear's chances about it in pieces of a second. What the ear says within a run hangs together,
 * so pieces are not multiplied: of two readings the surest piece for each counts, and the surest piece against the leading
 * one only by how often there is such a piece. The clearest second settles a run, and a lone odd one does not unsettle it.
 *
 * @param expectHz lowest and highest speed expected, turns a second: counts against a reading outside, so it decides where the sound
 *   leaves a multiple open and nowhere else
 * @returns the reading that leads all others; the closest of these is declared where it keeps `OPEN_FROM`
 */
export function chooseMultiple(trace: Trace, run: Run, expectHz?: readonly [number, number]): ChosenMultiple {
  const chances = READING_BINS.map((above) => chancesAbout(trace, run, above))
  const centre = meanBin(trace, run)
  const expected = READING_BINS.map((above) => unexpected(centre + above, expectHz))
  const leads = READINGS.map((_, own) => {
    let closest = -1
    let least = Infinity
    READINGS.forEach((_, other) => {
      if (other === own) return
      const lead = leadOf(chances[own]!, chances[other]!, expected[own]! - expected[other]!)
      if (lead >= least) return
      least = lead
      closest = other
    })
    return { least, closest }
  })
  const best = leads.reduce((most, { least }, r) => (least > leads[most]!.least ? r : most), 0)
  const { least, closest } = leads[best]!
  const readingProbability = logistic(least)
  const ambiguous = 1 - readingProbability > OPEN_FROM
  return {
    above: READING_BINS[best]!,
    readingProbability,
    ambiguous,
    alternativeFactor: ambiguous ? READINGS[closest]! / READINGS[best]! : null,
  }
}

/** Log-odds by which one reading leads another. */
function leadOf(own: Float64Array, other: Float64Array, prior: number): number {
  let [surest, total, surestAgainst, totalAgainst] = [0, 0, 0, 0]
  own.forEach((chance, piece) => {
    const lead = Math.log((chance + LEAST_CHANCE) / (other[piece]! + LEAST_CHANCE))
    if (lead > 0) {
      surest = Math.max(surest, lead)
      total += lead
    } else {
      surestAgainst = Math.max(surestAgainst, -lead)
      totalAgainst -= lead
    }
  })
  const rare = (part: number, whole: number): number => Math.min(1, part / Math.max(whole, 1e-9))
  return surest * rare(total, totalAgainst) - surestAgainst * rare(totalAgainst, total) + prior
}

/** Mean chance of a reading in each piece of a run. */
function chancesAbout(trace: Trace, run: Run, above: number): Float64Array {
  const chances = chancesOf(trace, run, above)
  const frames = chances.length
  const pieces = Math.max(1, Math.round(frames / EVIDENCE_FRAMES))
  return Float64Array.from({ length: pieces }, (_, piece) =>
    mean(
      chances.subarray(Math.round((piece * frames) / pieces), Math.round(((piece + 1) * frames) / pieces)),
    ),
  )
}

/** Chance of a reading, so many bins above the first part of a run, in every frame of the run. */
export function chancesOf(trace: Trace, { first, above }: Run, wanted: number): Float32Array {
  const out = new Float32Array(above.length)
  let reading = -1
  for (let k = 0; k < out.length; k++) {
    if (k === 0 || above[k] !== above[k - 1])
      reading = READING_BINS.findIndex((bins) => Math.abs(bins + above[k]! - wanted) < 1)
    if (reading >= 0) out[k] = trace.mass[(first + k) * READINGS.length + reading]!
  }
  return out
}

/** Mean of the speeds of a run, as its first part was read. */
function meanBin(trace: Trace, { first, end, above }: Run): number {
  return mean(trace.bin.subarray(first, end)) - mean(above)
}

/** Log-odds against a speed because it was not expected. */
function unexpected(bin: number, expectHz: readonly [number, number] | undefined): number {
  if (!expectHz) return 0
  const hz = binHz(bin)
  return hz < expectHz[0] || hz > expectHz[1] ? -UNEXPECTED_LOGIT : 0
}
