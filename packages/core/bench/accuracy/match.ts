/** Times and lengths of found turns, as in `Revolutions`. */
export interface FoundTurns {
  readonly timeS: ArrayLike<number>
  readonly durationS: ArrayLike<number>
  readonly stretch: ArrayLike<number>
}

/** Times of true turns; the anchor is the moment that identifies a turn, a fifth of a turn after the exhaust opens. */
export interface TrueTurns {
  readonly startS: ArrayLike<number>
  readonly endS: ArrayLike<number>
  readonly anchorS: ArrayLike<number>
}

/** A found turn longer or shorter than the true one by more than this factor is another speed, not the same turn. */
export const LENGTH_FACTOR = 1.25

/**
 * Pairs every true turn with the found turn that covers its anchor.
 *
 * Where a grid puts the start of its turns is its own affair as long as it stays put. So the phase at which anchors
 * fall is taken once per stretch (circular mean), and an anchor goes to the found turn whose own moment at that phase
 * is nearest, at most half a turn away. Without this, jitter decides wherever anchors fall near a turn's border.
 * A found turn serves one true turn only (the nearer), and only one of about its length: half and double speed
 * never pair.
 *
 * @returns for each true turn the index of its found turn, -1 for none
 */
export function matchTurns(truth: TrueTurns, found: FoundTurns): Int32Array {
  const match = new Int32Array(truth.anchorS.length).fill(-1)
  const owner = new Int32Array(found.timeS.length).fill(-1)
  const distance = new Float64Array(match.length)
  const moments = momentsOf(truth, found)
  for (let i = 0; i < match.length; i++) {
    const k = nearest(moments, truth.anchorS[i]!)
    if (k < 0) continue
    const turnS = truth.endS[i]! - truth.startS[i]!
    distance[i] = Math.abs(moments[k]! - truth.anchorS[i]!) / turnS
    const factor = found.durationS[k]! / turnS
    if (distance[i]! > 0.5 || factor > LENGTH_FACTOR || factor < 1 / LENGTH_FACTOR) continue
    const rival = owner[k]!
    if (rival >= 0 && distance[rival]! <= distance[i]!) continue
    if (rival >= 0) match[rival] = -1
    owner[k] = i
    match[i] = k
  }
  return match
}

/** The moment of every found turn at which anchors fall in its stretch, on average. */
function momentsOf(truth: TrueTurns, found: FoundTurns): Float64Array {
  const sums = new Map<number, { cos: number; sin: number }>()
  for (let i = 0; i < truth.anchorS.length; i++) {
    const k = covering(found, truth.anchorS[i]!)
    if (k < 0) continue
    const angle = (2 * Math.PI * (truth.anchorS[i]! - found.timeS[k]!)) / found.durationS[k]!
    const sum = sums.get(found.stretch[k]!) ?? { cos: 0, sin: 0 }
    sums.set(found.stretch[k]!, { cos: sum.cos + Math.cos(angle), sin: sum.sin + Math.sin(angle) })
  }
  return Float64Array.from({ length: found.timeS.length }, (_, k) => {
    const sum = sums.get(found.stretch[k]!)
    const phase = sum ? Math.atan2(sum.sin, sum.cos) / (2 * Math.PI) : 0.5
    return found.timeS[k]! + found.durationS[k]! * (phase < 0 ? phase + 1 : phase)
  })
}

/** Index of the found turn that holds a time, -1 for none. */
export function covering(found: Pick<FoundTurns, 'timeS' | 'durationS'>, atS: number): number {
  const k = lastNotAfter(found.timeS, atS)
  return k >= 0 && atS < found.timeS[k]! + found.durationS[k]! ? k : -1
}

/** Index of the value nearest to `at` in a rising list, -1 for an empty one. */
export function nearest(rising: ArrayLike<number>, at: number): number {
  const k = lastNotAfter(rising, at)
  if (k < 0) return rising.length > 0 ? 0 : -1
  if (k === rising.length - 1) return k
  return at - rising[k]! <= rising[k + 1]! - at ? k : k + 1
}

function lastNotAfter(rising: ArrayLike<number>, at: number): number {
  let low = 0
  let high = rising.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (rising[middle]! <= at) low = middle + 1
    else high = middle
  }
  return low - 1
}
