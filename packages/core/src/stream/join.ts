import type { Heard } from '../analyze.js'
import type { Revolutions } from '../revolutions/types.js'
import type { SpeedTrack, Stretch } from '../speed/types.js'
import { JOIN_S, SAME_SPEED } from './constants.js'
import { joinQualities } from './quality.js'

/** What was heard in a piece, its times counted from the start of the recording. */
export interface Piece extends Pick<Heard, 'engine' | 'power' | 'quality' | 'speed' | 'revolutions'> {
  /** What it is there for, without what it hears of its neighbours, seconds. */
  readonly fromS: number
  readonly toS: number
}

/** The turns of a piece that are kept: first and one past the last. */
interface Kept {
  readonly piece: Piece
  readonly first: number
  readonly end: number
  /** Where it follows the one before, seconds: at a turn where both hear the engine, else at the border. */
  readonly joinS: number
  /** How the speed of the piece before stands to this one's at the join; null where one of them hears no engine. */
  readonly ratio: number | null
}

/**
 * Joins what was heard in overlapping pieces to what was heard in all of the recording.
 *
 * At a border both pieces have heard the same turns. They are joined where the end of a turn of the one lies nearest to
 * the start of a turn of the other, so that no turn is lost or counted twice. Where the two read different multiples of the
 * speed, neither is taken for certain: both stretches are marked as ambiguous.
 */
export function joinPieces(pieces: readonly Piece[], durationS: number): Heard {
  const kept: Kept[] = []
  for (const piece of pieces) kept.push(follow(kept, piece))
  const { stretches, numbers } = joinStretches(kept, durationS)
  const engines = pieces.map((p) => p.engine).filter((engine) => engine !== null)
  const weightOf = ({ fromS, toS }: Piece): number => (toS - fromS) / durationS
  return {
    durationS,
    speed: joinTracks(kept, durationS, stretches),
    revolutions: joinColumns(kept, numbers),
    quality: joinQualities(pieces, stretches, durationS),
    engine: engines.length > 0 ? engines.reduce((a, b) => Math.max(a, b)) : null,
    power: pieces.reduce((sum, p) => sum + p.power * weightOf(p), 0),
  }
}

/** Finds the join with the piece before, and shortens that one accordingly. */
function follow(kept: Kept[], piece: Piece): Kept {
  const { timeS } = piece.revolutions
  const all = { piece, first: 0, end: timeS.length, joinS: piece.fromS, ratio: null }
  const before = kept.at(-1)
  if (!before) return all
  const border = piece.fromS
  const old = before.piece.revolutions
  let best: { end: number; first: number; gapS: number } | undefined
  for (let i = turnAt(old.timeS, border - JOIN_S); i < old.timeS.length; i++) {
    const endS = old.timeS[i]! + old.durationS[i]!
    if (endS > border + JOIN_S) break
    const after = turnAt(timeS, endS)
    for (const first of [after - 1, after]) {
      if (first < 0 || first >= timeS.length || timeS[first]! <= old.timeS[i]!) continue
      const gapS = Math.abs(timeS[first]! - endS)
      if (!best || gapS < best.gapS) best = { end: i + 1, first, gapS }
    }
  }
  if (best && best.gapS < old.durationS[best.end - 1]!) {
    kept[kept.length - 1] = { ...before, end: best.end }
    const ratio = old.speedRpm[best.end - 1]! / piece.revolutions.speedRpm[best.first]!
    return { ...all, first: best.first, joinS: timeS[best.first]!, ratio }
  }
  // One of them hears no engine here: each keeps what begins on its side.
  const end = Math.max(before.first, turnAt(old.timeS, border))
  const lastS = end > before.first ? old.timeS[end - 1]! + old.durationS[end - 1]! : border
  kept[kept.length - 1] = { ...before, end }
  return { ...all, first: turnAt(timeS, Math.max(border, lastS)) }
}

/** First turn that starts at or after a time. */
function turnAt(timeS: Float64Array, atS: number): number {
  let low = 0
  let high = timeS.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (timeS[middle]! < atS) low = middle + 1
    else high = middle
  }
  return low
}

/** Stretches of all pieces in one list, and for each piece the number that its own have in it. */
function joinStretches(
  kept: readonly Kept[],
  durationS: number,
): { stretches: Stretch[]; numbers: Map<number, number>[] } {
  const stretches: Stretch[] = []
  const numbers = kept.map(({ piece, first, end, joinS, ratio }, k) => {
    const found = new Map<number, number>()
    const toS = kept[k + 1]?.joinS ?? durationS
    for (let n = first; n < end; n++) {
      const own = piece.revolutions.stretch[n]!
      if (found.has(own)) continue
      const heard = piece.speed.stretches[own]!
      const part = { ...heard, startS: Math.max(heard.startS, joinS), endS: Math.min(heard.endS, toS) }
      const before = n === first && ratio !== null ? stretches.at(-1) : undefined
      if (before && Math.abs(ratio! - 1) > SAME_SPEED) {
        stretches[stretches.length - 1] = opened(before, 1 / ratio!)
        stretches.push(opened(part, ratio!))
      } else if (before && before.ambiguous === part.ambiguous) {
        const confidence = Math.min(before.confidence, part.confidence)
        stretches[stretches.length - 1] = { ...before, endS: part.endS, confidence }
      } else {
        stretches.push(part)
      }
      found.set(own, stretches.length - 1)
    }
    return found
  })
  return { stretches, numbers }
}

/** A stretch that its neighbour reads at another speed. */
function opened(stretch: Stretch, factor: number): Stretch {
  if (stretch.ambiguous) return stretch
  return { ...stretch, ambiguous: true, alternativeFactor: factor, confidence: 0.5 }
}

function joinTracks(kept: readonly Kept[], durationS: number, stretches: readonly Stretch[]): SpeedTrack {
  const all = kept[0]!.piece.speed.timeS
  const hopS = all[1]! - all[0]!
  const frames = Math.floor(durationS / hopS) + 1
  const speedRpm = new Float64Array(frames).fill(Number.NaN)
  const salience = new Float32Array(frames)
  kept.forEach(({ piece: { speed }, joinS }, k) => {
    const shift = Math.round(speed.timeS[0]! / hopS)
    const first = k === 0 ? 0 : Math.ceil(joinS / hopS)
    const end = Math.min(frames, kept[k + 1] ? Math.ceil(kept[k + 1]!.joinS / hopS) : frames)
    for (let f = first; f < end && f - shift < speed.timeS.length; f++) {
      speedRpm[f] = speed.speedRpm[f - shift]!
      salience[f] = speed.salience[f - shift]!
    }
  })
  return { timeS: Float64Array.from({ length: frames }, (_, f) => f * hopS), speedRpm, salience, stretches }
}

function joinColumns(kept: readonly Kept[], numbers: readonly Map<number, number>[]): Revolutions {
  const total = kept.reduce((sum, { first, end }) => sum + Math.max(0, end - first), 0)
  const fill = <T extends Float64Array | Float32Array | Uint8Array | Int32Array>(
    out: T,
    of: (revolutions: Revolutions) => T,
  ): T => {
    let at = 0
    for (const { piece, first, end } of kept) {
      if (end <= first) continue
      out.set(of(piece.revolutions).subarray(first, end), at)
      at += end - first
    }
    return out
  }
  const stretch = new Int32Array(total)
  let at = 0
  kept.forEach(({ piece, first, end }, k) => {
    for (let n = first; n < end; n++, at++) stretch[at] = numbers[k]!.get(piece.revolutions.stretch[n]!)!
  })
  return {
    timeS: fill(new Float64Array(total), (r) => r.timeS),
    durationS: fill(new Float64Array(total), (r) => r.durationS),
    speedRpm: fill(new Float64Array(total), (r) => r.speedRpm),
    label: fill(new Uint8Array(total), (r) => r.label),
    firedProbability: fill(new Float32Array(total), (r) => r.firedProbability),
    firedLow: fill(new Float32Array(total), (r) => r.firedLow),
    firedHigh: fill(new Float32Array(total), (r) => r.firedHigh),
    pattern: fill(new Uint8Array(total), (r) => r.pattern),
    level: fill(new Float32Array(total), (r) => r.level),
    stretch,
    reliability: fill(new Float32Array(total), (r) => r.reliability),
  }
}
