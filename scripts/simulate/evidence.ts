/** Figures of a short window of turns, measured alike on simulated and on real clips. Used by `check.ts` alone. */

/** Turns in a window. Chosen: about the length of many real states. */
export const WINDOW_TURNS = 24
const POINTS = 96

export interface WindowFigures {
  /** Energy at half, third and quarter orders against that at full orders, dB. */
  readonly halfDb: number
  readonly thirdDb: number
  readonly fourthDb: number
  /** Share of the energy that repeats from turn to turn; then the same in each of the extra bands. */
  readonly repeat: number
  readonly bandRepeat: readonly number[]
  /** Lag correlations of the leading component of what is left after the moving mean, lags 1 to 4; its share. */
  readonly lag: readonly number[]
  readonly share: number
  /** Difference in energy of the two kinds of turn and scatter within a kind, dB. */
  readonly gapDb: number
  readonly scatterDb: number
  /** Agreement of a two-means on peak height with the two kinds by shape, 0.5–1. */
  readonly peakAgreement: number
  /** First order against the strongest, dB. */
  readonly firstOrderDb: number
}

/**
 * Measures one window.
 *
 * @param x       waveform, 30 to 4,000 Hz
 * @param bands   the same clip in other bands, for their repeating share
 * @param startS  start of the window, seconds
 * @param speedHz crank speed near the window, turns a second, good to 3 %
 * @param slope   its change, turns a second per second
 * @returns null when the window leaves the clip
 */
export function measureWindow(
  x: Float32Array,
  bands: readonly Float32Array[],
  rateHz: number,
  startS: number,
  speedHz: number,
  slope: number,
): WindowFigures | null {
  if ((startS + (1.1 * WINDOW_TURNS) / speedHz) * rateHz + 4 > x.length) return null
  let best: Float64Array | null = null
  let bestShare = -1
  let fit: readonly [number, number] = [speedHz, slope]
  const spanS = WINDOW_TURNS / speedHz
  for (let scale = -0.035; scale <= 0.0351; scale += 0.0025) {
    for (let bend = -0.04; bend <= 0.0401; bend += 0.01) {
      const trial = [speedHz * (1 + scale), slope + (bend * speedHz) / spanS] as const
      const turns = cutTurns(x, rateHz, startS, ...trial)
      const share = repeatShare(turns)
      if (share > bestShare) {
        bestShare = share
        best = turns
        fit = trial
      }
    }
  }
  const bandRepeat = bands.map((band) => repeatShare(cutTurns(band, rateHz, startS, ...fit)))
  return best && { ...figuresOf(best), bandRepeat }
}

/** The window as WINDOW_TURNS rows of POINTS, for a speed that changes evenly. */
function cutTurns(
  x: Float32Array,
  rateHz: number,
  startS: number,
  speedHz: number,
  slope: number,
): Float64Array {
  const out = new Float64Array(WINDOW_TURNS * POINTS)
  let timeS = startS
  const half = WINDOW_TURNS / speedHz / 2
  for (let i = 0; i < out.length; i++) {
    const at = timeS * rateHz
    const j = Math.floor(at)
    out[i] = x[j]! + (at - j) * (x[j + 1]! - x[j]!)
    timeS += 1 / POINTS / Math.max(5, speedHz + slope * (timeS - startS - half))
  }
  return out
}

/** Mean square of the average over blocks of `period` turns. */
function foldEnergy(turns: Float64Array, period: number): number {
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

const repeatShare = (turns: Float64Array): number => foldEnergy(turns, 1) / foldEnergy(turns, WINDOW_TURNS)

function figuresOf(turns: Float64Array): Omit<WindowFigures, 'bandRepeat'> {
  const full = foldEnergy(turns, 1)
  const dB = (x: number) => 10 * Math.log10(Math.max(1e-6, x))
  const { component, share } = leadingComponent(turns)
  const rows = Array.from({ length: WINDOW_TURNS }, (_, k) => turns.subarray(k * POINTS, (k + 1) * POINTS))
  const kind = twoMeans(component)
  const level = rows.map((row) => dB(row.reduce((sum, v) => sum + v * v, 0) / POINTS))
  const peak = rows.map((row) => row.reduce((most, v) => Math.max(most, Math.abs(v)), 0))
  const byPeak = twoMeans(peak)
  const same = byPeak.filter((k, i) => k === kind[i]).length / WINDOW_TURNS
  const groups = [0, 1].map((which) => level.filter((_, i) => kind[i] === which))
  return {
    halfDb: dB((foldEnergy(turns, 2) - full) / full),
    thirdDb: dB((foldEnergy(turns, 3) - full) / full),
    fourthDb: dB((foldEnergy(turns, 4) - foldEnergy(turns, 2)) / full),
    repeat: repeatShare(turns),
    lag: [1, 2, 3, 4].map((lag) => lagCorrelation(component, lag)),
    share,
    gapDb: Math.abs(mean(groups[0]!) - mean(groups[1]!)),
    scatterDb: (spread(groups[0]!) + spread(groups[1]!)) / 2,
    peakAgreement: Math.max(same, 1 - same),
    firstOrderDb: firstOrder(turns),
  }
}

/** Leading eigenvector of the rows after a Hann moving mean over nine turns is taken off, and its share of what is left. */
export function leadingComponent(turns: Float64Array): { component: Float64Array; share: number } {
  const n = turns.length / POINTS
  const rest = new Float64Array(turns.length)
  for (let k = 0; k < n; k++) {
    let total = 0
    const weights: [number, number][] = []
    for (let m = Math.max(0, k - 4); m <= Math.min(n - 1, k + 4); m++) {
      const w = Math.cos(((m - k) * Math.PI) / 10) ** 2
      weights.push([m, w])
      total += w
    }
    for (let i = 0; i < POINTS; i++) {
      let sum = 0
      for (const [m, w] of weights) sum += w * turns[m * POINTS + i]!
      rest[k * POINTS + i] = turns[k * POINTS + i]! - sum / total
    }
  }
  const gram = new Float64Array(n * n)
  let trace = 0
  for (let a = 0; a < n; a++) {
    for (let b = a; b < n; b++) {
      let sum = 0
      for (let i = 0; i < POINTS; i++) sum += rest[a * POINTS + i]! * rest[b * POINTS + i]!
      gram[a * n + b] = sum
      gram[b * n + a] = sum
      if (a === b) trace += sum
    }
  }
  let component = Float64Array.from({ length: n }, (_, k) => Math.sin(12.9898 * (k + 1)))
  let value = 0
  for (let step = 0; step < 200; step++) {
    const next = new Float64Array(n)
    for (let a = 0; a < n; a++)
      for (let b = 0; b < n; b++) next[a] = next[a]! + gram[a * n + b]! * component[b]!
    value = Math.hypot(...next)
    component = next.map((v) => v / (value || 1))
  }
  return { component, share: value / (trace || 1) }
}

/** Two classes of numbers; the upper one is 1. */
export function twoMeans(values: ArrayLike<number>): Uint8Array {
  const list = Array.from(values)
  let low = Math.min(...list)
  let high = Math.max(...list)
  let kinds = new Uint8Array(list.length)
  for (let step = 0; step < 20; step++) {
    const cut = (low + high) / 2
    kinds = Uint8Array.from(list, (v) => (v > cut ? 1 : 0))
    const above = list.filter((v) => v > cut)
    const below = list.filter((v) => v <= cut)
    if (above.length > 0) high = mean(above)
    if (below.length > 0) low = mean(below)
  }
  return kinds
}

function lagCorrelation(s: Float64Array, lag: number): number {
  let sum = 0
  let a = 0
  let b = 0
  for (let i = 0; i + lag < s.length; i++) {
    sum += s[i]! * s[i + lag]!
    a += s[i]! ** 2
    b += s[i + lag]! ** 2
  }
  return sum / Math.sqrt(a * b)
}

function firstOrder(turns: Float64Array): number {
  const powers: number[] = []
  for (let order = 1; order <= 12; order++) {
    let re = 0
    let im = 0
    for (let i = 0; i < turns.length; i++) {
      const angle = (2 * Math.PI * order * i) / POINTS
      re += turns[i]! * Math.cos(angle)
      im += turns[i]! * Math.sin(angle)
    }
    powers.push(re * re + im * im)
  }
  return 10 * Math.log10(powers[0]! / Math.max(...powers))
}

const mean = (list: readonly number[]): number =>
  list.reduce((sum, v) => sum + v, 0) / Math.max(1, list.length)

function spread(list: readonly number[]): number {
  const centre = mean(list)
  return Math.sqrt(mean(list.map((v) => (v - centre) ** 2)))
}
