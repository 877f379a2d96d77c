/** A short window of turns as rows: cut from a clip, folded, split into kinds. */

/** Turns in a window. Chosen: about the length of many real states. */
export const WINDOW_TURNS = 24
/** Points a turn; enough for 4 kHz down to 85 turns a second, and for the orders that matter below. */
export const POINTS = 96

/** Where a window lies and how fast the crank turns in it. */
export interface Fit {
  readonly startS: number
  /** Crank turns a second in the middle, and its change a second. */
  readonly speedHz: number
  readonly slope: number
}

/**
 * Looks within ±3.5 % of the speed given for the reading under which most of the energy repeats from turn to turn.
 *
 * @returns null when the window leaves the clip
 */
export function fitWindow(x: Float32Array, rateHz: number, { startS, speedHz, slope }: Fit): Fit | null {
  if ((startS + (1.1 * WINDOW_TURNS) / speedHz) * rateHz + 4 > x.length) return null
  let best: Fit | null = null
  let bestShare = -1
  const spanS = WINDOW_TURNS / speedHz
  for (let scale = -0.035; scale <= 0.0351; scale += 0.0025) {
    for (let bend = -0.04; bend <= 0.0401; bend += 0.01) {
      const trial = { startS, speedHz: speedHz * (1 + scale), slope: slope + (bend * speedHz) / spanS }
      const share = repeatShare(cutTurns(x, rateHz, trial))
      if (share > bestShare) {
        bestShare = share
        best = trial
      }
    }
  }
  return best
}

/** The window as WINDOW_TURNS rows of POINTS, for a speed that changes evenly. */
export function cutTurns(x: Float32Array, rateHz: number, { startS, speedHz, slope }: Fit): Float64Array {
  const out = new Float64Array(WINDOW_TURNS * POINTS)
  const half = WINDOW_TURNS / speedHz / 2
  let timeS = startS
  for (let i = 0; i < out.length; i++) {
    const at = timeS * rateHz
    const j = Math.floor(at)
    out[i] = x[j]! + (at - j) * (x[j + 1]! - x[j]!)
    timeS += 1 / POINTS / Math.max(5, speedHz + slope * (timeS - startS - half))
  }
  return out
}

/** Mean square of the average over blocks of `period` turns. */
export function foldEnergy(turns: Float64Array, period: number): number {
  const length = period * POINTS
  const count = Math.floor(turns.length / length)
  let energy = 0
  for (let i = 0; i < length; i++) {
    let sum = 0
    for (let k = 0; k < count; k++) sum += turns[i + k * length]!
    energy += (sum / count) ** 2
  }
  return energy / length
}

/** Share of the energy that repeats from turn to turn. */
export const repeatShare = (turns: Float64Array): number =>
  foldEnergy(turns, 1) / (foldEnergy(turns, WINDOW_TURNS) || 1)

/** Rows with a Hann moving mean over nine turns taken off. */
export function withoutMean(turns: Float64Array): Float64Array {
  const n = turns.length / POINTS
  const rest = turns.slice()
  for (let k = 0; k < n; k++) {
    const from = Math.max(0, k - 4)
    const to = Math.min(n - 1, k + 4)
    let total = 0
    for (let m = from; m <= to; m++) total += weight(m - k)
    for (let m = from; m <= to; m++) {
      const share = weight(m - k) / total
      for (let i = 0; i < POINTS; i++) {
        rest[k * POINTS + i] = rest[k * POINTS + i]! - share * turns[m * POINTS + i]!
      }
    }
  }
  return rest
}

const weight = (offset: number): number => Math.cos((offset * Math.PI) / 10) ** 2
