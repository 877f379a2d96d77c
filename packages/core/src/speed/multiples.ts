import { BINS, BINS_PER_OCTAVE, HIGHEST_HZ, HOP_S, LOWEST_HZ } from './constants.js'
import type { SalienceMap } from './salience.js'
import { MULTIPLES, OCTAVE_BIAS, type RawTrack } from './viterbi.js'

/** Evidence below this is silence or noise; fitted by hand on open recordings of engines and of other sounds. */
const PRESENT_SALIENCE = 0.2
/** A gap in the evidence shorter than this does not end a stretch: the crank keeps turning. */
const BRIDGE_S = 0.4
/** Shortest stretch worth reading. */
const SHORTEST_S = 0.25

/** One continuous run on the frame grid with the reading that explains all of it best. */
export interface Reading {
  readonly firstFrame: number
  /** One past the last frame. */
  readonly endFrame: number
  /** Position of every frame on the bin scale, fractional, at the chosen multiple. */
  readonly bins: Float64Array
  /** Candidates, best first: factor on the chosen speed and mean salience a frame, bias included. */
  readonly candidates: readonly { readonly factor: number; readonly evidence: number }[]
}

/**
 * Cuts a raw track into continuous stretches and settles the multiple once for each.
 *
 * Relabels inside a stretch are folded out first: an engine cannot double its speed between two frames, so all of
 * a stretch is one curve up to a factor, and that factor is chosen by the evidence of the whole stretch.
 */
export function settleMultiples(map: SalienceMap, track: RawTrack, lowBin = 0, highBin = BINS - 1): Reading[] {
  const folded = foldRelabels(track)
  return presentStretches(map, track).map(([first, end]) => {
    const curve = folded.slice(first, end)
    const candidates = [1, ...MULTIPLES, 6, 1 / 6, 9 / 2, 2 / 9]
      .map((factor) => ({ factor, evidence: curveEvidence(map, curve, first, Math.log2(factor), lowBin, highBin) }))
      .filter((c) => c.evidence > -Infinity)
      .sort((a, b) => b.evidence - a.evidence)
    const chosen = candidates[0]?.factor ?? 1
    const shift = Math.log2(chosen) * BINS_PER_OCTAVE
    return {
      firstFrame: first,
      endFrame: end,
      bins: curve.map((b) => b + shift),
      candidates: candidates.map((c) => ({ factor: c.factor / chosen, evidence: c.evidence })),
    }
  })
}

function foldRelabels(track: RawTrack): Float64Array {
  let octaves = 0
  return Float64Array.from(track.bins, (bin, k) => {
    octaves += Math.log2(track.relabels[k]!)
    return bin - octaves * BINS_PER_OCTAVE
  })
}

/** Frame ranges in which the salience along the track stays up, short gaps bridged. */
function presentStretches(map: SalienceMap, track: RawTrack): [number, number][] {
  const present = smoothed(map, track).map((s) => (s >= PRESENT_SALIENCE ? 1 : 0))
  const ranges: [number, number][] = []
  for (let k = 0; k < present.length; k++) {
    if (present[k] === 0) continue
    const last = ranges.at(-1)
    if (last && (k - last[1]) * HOP_S <= BRIDGE_S) last[1] = k + 1
    else ranges.push([k, k + 1])
  }
  return ranges.filter(([a, b]) => (b - a) * HOP_S >= SHORTEST_S)
}

function smoothed(map: SalienceMap, track: RawTrack): Float64Array {
  const half = 5
  const at = (k: number): number => map.values[k * BINS + track.bins[k]!]!
  return Float64Array.from(track.bins, (_, k) => {
    let sum = 0
    let count = 0
    for (let j = Math.max(0, k - half); j <= Math.min(map.frames - 1, k + half); j++) {
      sum += at(j)
      count++
    }
    return sum / count
  })
}

/** Mean salience along a curve moved by `octaves`; -Infinity when a tenth of it leaves the range. */
function curveEvidence(
  map: SalienceMap,
  curve: Float64Array,
  first: number,
  octaves: number,
  lowBin: number,
  highBin: number,
): number {
  let sum = 0
  let outside = 0
  for (let k = 0; k < curve.length; k++) {
    const bin = Math.round(curve[k]! + octaves * BINS_PER_OCTAVE)
    if (bin < lowBin || bin > highBin) {
      outside++
      continue
    }
    let best = -1
    for (let b = Math.max(0, bin - 1); b <= Math.min(BINS - 1, bin + 1); b++) best = Math.max(best, map.values[(first + k) * BINS + b]!)
    sum += best + (OCTAVE_BIAS * bin) / BINS_PER_OCTAVE
  }
  if (outside > 0.1 * curve.length) return -Infinity
  return sum / (curve.length - outside)
}

/** Bin of a speed, fractional. */
export function hzBin(hz: number): number {
  return Math.log2(hz / LOWEST_HZ) * BINS_PER_OCTAVE
}
export const LAST_BIN = hzBin(HIGHEST_HZ)
