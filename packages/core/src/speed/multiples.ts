import { BINS, BINS_PER_OCTAVE, HOP_S, LOWEST_HZ } from './constants.js'
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

/** Factors that a piece of raw track may be off by. */
const FACTORS = [1, ...MULTIPLES]
/** Price, in frames of full salience, of a jump of the crank inside a stretch: it never happens, but noise does. */
const JUMP_COST = 25

/**
 * Cuts a raw track into continuous stretches and settles the multiple once for each.
 *
 * The raw track may relabel inside a stretch, but an engine cannot double its speed between two frames. Every piece
 * between relabels gets the factor that explains the whole stretch best, and where pieces then do not join, the
 * price of a jump is paid: that is a piece of noise, or a slip of the raw track that was none of a multiple.
 */
export function settleMultiples(
  map: SalienceMap,
  track: RawTrack,
  lowBin = 0,
  highBin = BINS - 1,
): Reading[] {
  return presentStretches(map, track).map(([first, end]) => {
    const curve = joinPieces(map, track, first, end, lowBin, highBin)
    const candidates = [...FACTORS, 6, 1 / 6]
      .map((factor) => {
        const evidence = curveEvidence(map, curve, first, Math.log2(factor), lowBin, highBin)
        return { factor, evidence: evidence / curve.length }
      })
      .filter((c) => c.evidence > -Infinity)
      .sort((x, y) => y.evidence - x.evidence)
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

/** The same stretch read at another multiple of its speed. */
export function movedTo(reading: Reading, factor: number): Reading {
  const shift = Math.log2(factor) * BINS_PER_OCTAVE
  const candidates = reading.candidates.map((c) => ({ ...c, factor: c.factor / factor }))
  const own = candidates.findIndex((c) => Math.abs(c.factor - 1) < 0.01)
  if (own > 0) candidates.unshift(...candidates.splice(own, 1))
  return { ...reading, bins: reading.bins.map((b) => b + shift), candidates }
}

/** One curve for frames `first` to `end`: the best factor for every piece between relabels, by dynamic programming. */
function joinPieces(
  map: SalienceMap,
  track: RawTrack,
  first: number,
  end: number,
  lowBin: number,
  highBin: number,
): Float64Array {
  const starts = [first]
  for (let k = first + 1; k < end; k++) if (track.relabels[k] !== 1) starts.push(k)
  const pieces = starts.map((from, i) => Float64Array.from(track.bins.subarray(from, starts[i + 1] ?? end)))
  const evidence = pieces.map((piece, i) =>
    FACTORS.map((f) => curveEvidence(map, piece, starts[i]!, Math.log2(f), lowBin, highBin)),
  )
  const octaves = FACTORS.map((f) => Math.log2(f))
  let score = evidence[0]!
  const origins: number[][] = []
  for (let i = 1; i < pieces.length; i++) {
    const step = (pieces[i]![0]! - pieces[i - 1]!.at(-1)!) / BINS_PER_OCTAVE
    const previous = score
    const origin: number[] = []
    score = FACTORS.map((_, to) => {
      let best = -Infinity
      origin[to] = 0
      for (let from = 0; from < FACTORS.length; from++) {
        const jump = Math.abs(step + octaves[to]! - octaves[from]!)
        const value = previous[from]! - (jump > JOINED_OCTAVES ? JUMP_COST : 0)
        if (value > best) {
          best = value
          origin[to] = from
        }
      }
      return best + evidence[i]![to]!
    })
    origins.push(origin)
  }
  const out = new Float64Array(end - first)
  let choice = score.indexOf(Math.max(...score))
  for (let i = pieces.length - 1; i >= 0; i--) {
    pieces[i]!.forEach((bin, k) => {
      out[starts[i]! - first + k] = bin + octaves[choice]! * BINS_PER_OCTAVE
    })
    if (i > 0) choice = origins[i - 1]![choice]!
  }
  return out
}

/** Pieces that meet within this distance are one curve. */
const JOINED_OCTAVES = 0.12

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

/** Sum of salience along a curve moved by `octaves`; -Infinity when a tenth of it leaves the range. */
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
    for (let b = Math.max(0, bin - 1); b <= Math.min(BINS - 1, bin + 1); b++)
      best = Math.max(best, map.values[(first + k) * BINS + b]!)
    sum += best + (OCTAVE_BIAS * bin) / BINS_PER_OCTAVE
  }
  if (outside > 0.1 * curve.length) return -Infinity
  return sum
}

/** Bin of a speed, fractional. */
export function hzBin(hz: number): number {
  return Math.log2(hz / LOWEST_HZ) * BINS_PER_OCTAVE
}
