import type { Stretch } from '../crank/types.js'
import { median } from '../math/stats.js'
import { holesTold } from '../quality/quality.js'
import type { Hindrance, RecordingQuality } from '../quality/types.js'
import { TOLD_SHARE } from './constants.js'

/** Quality of one piece of a recording. */
export interface HeardPiece {
  /** What it is there for, seconds. */
  readonly fromS: number
  readonly toS: number
  readonly quality: RecordingQuality
  readonly engineHeard: boolean
}

type Told = RecordingQuality['hindrances'][number]

/** Quality of a recording from that of its pieces: powers add up, the peak is the highest; the score is a mean, bandwidth and pulses the middle one. */
export function joinQualities(
  pieces: readonly HeardPiece[],
  stretches: readonly Stretch[],
  durationS: number,
): RecordingQuality {
  const weights = pieces.map(({ fromS, toS }) => (toS - fromS) / durationS)
  const mean = (of: (q: RecordingQuality) => number): number =>
    pieces.reduce((sum, { quality }, k) => sum + weights[k]! * of(quality), 0)
  // Pieces with an engine tell how it was recorded; where none has, all do.
  const heard = pieces.filter(({ engineHeard }) => engineHeard)
  const telling = heard.length > 0 ? heard : pieces
  const ratios = telling.map(({ quality }) => quality.pulseToNoiseDb).filter((db) => db !== null)
  const holesPerSecond = mean((q) => q.holesPerSecond)
  const holes = holesTold(holesPerSecond, durationS)
  return {
    score: telling.reduce((sum, { quality }) => sum + quality.score, 0) / telling.length,
    levelDbfs: 10 * Math.log10(mean((q) => 10 ** (q.levelDbfs / 10))),
    peakDbfs: pieces.reduce((most, { quality }) => Math.max(most, quality.peakDbfs), -Infinity),
    clippedRatio: mean((q) => q.clippedRatio),
    bandwidthHz: median(telling.map(({ quality }) => quality.bandwidthHz)),
    pulseToNoiseDb: ratios.length > 0 ? median(ratios) : null,
    holesPerSecond,
    hindrances: [
      ...(holes ? [holes] : []),
      ...joinHindrances(telling, stretches).filter(({ code }) => code !== 'holes'),
    ],
  }
}

/** Hindrances by how many pieces they are in, each in the words of a middling one. */
function joinHindrances(pieces: readonly HeardPiece[], stretches: readonly Stretch[]): Told[] {
  const found = new Map<Hindrance, Told[]>()
  for (const { quality } of pieces)
    for (const told of quality.hindrances) found.set(told.code, [...(found.get(told.code) ?? []), told])
  // A piece in which the engine runs shortly is short of running; the recording is only if all of it is.
  const runningS = stretches.reduce((sum, { startS, endS }) => sum + endS - startS, 0)
  if (runningS > SHORT_S) found.delete('too-short')
  return [...found.values()]
    .filter((list) => list.length >= TOLD_SHARE * pieces.length)
    .sort((a, b) => b.length - a.length)
    .map((list) => {
      const told = list[list.length >> 1]!
      if (list.length === pieces.length) return told
      return { ...told, message: `${told.message} (In ${list.length} of ${pieces.length} pieces.)` }
    })
}

/** Running that makes a recording long enough, seconds; as for a clip heard as a whole. Derived. */
const SHORT_S = 2
