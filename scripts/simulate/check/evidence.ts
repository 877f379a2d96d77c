import { lagCorrelation, leadingComponent, mean, spread, twoMeans } from './statistics.js'
import {
  cutTurns,
  type Fit,
  fitWindow,
  foldEnergy,
  POINTS,
  repeatShare,
  WINDOW_TURNS,
  withoutMean,
} from './window.js'

/** Figures of a short window of turns, measured alike on simulated and on real clips. */
export interface WindowFigures {
  /** Energy at half, third and quarter orders against that at full orders, dB. */
  readonly halfDb: number
  readonly thirdDb: number
  readonly fourthDb: number
  /** Share of the energy that repeats from turn to turn; then the same in each of the extra bands. */
  readonly repeat: number
  readonly bandRepeat: readonly number[]
  /** Lag correlations, lags 1 to 4, of the leading component of what is left after the moving mean; its share. */
  readonly lag: readonly number[]
  readonly share: number
  /** Difference in energy of the two kinds of turn and scatter within a kind, dB. */
  readonly gapDb: number
  readonly scatterDb: number
  /** Agreement of a two-means on peak height with the two kinds by shape, 0.5–1. */
  readonly peakAgreement: number
  /** First order against the strongest of the first twelve, dB. */
  readonly firstOrderDb: number
}

/**
 * Measures one window.
 *
 * @param x     waveform, 30 to 4,000 Hz
 * @param bands the same clip in other bands, for their repeating share
 * @param near  where to look; the speed good to 3 %
 * @returns null when the window leaves the clip
 */
export function measureWindow(
  x: Float32Array,
  bands: readonly Float32Array[],
  rateHz: number,
  near: Fit,
): WindowFigures | null {
  const fit = fitWindow(x, rateHz, near)
  if (!fit) return null
  const turns = cutTurns(x, rateHz, fit)
  const bandRepeat = bands.map((band) => repeatShare(cutTurns(band, rateHz, fit)))
  return { ...figuresOf(turns), bandRepeat }
}

function figuresOf(turns: Float64Array): Omit<WindowFigures, 'bandRepeat'> {
  const full = foldEnergy(turns, 1)
  const { component, share } = leadingComponent(withoutMean(turns), WINDOW_TURNS)
  const rows = Array.from({ length: WINDOW_TURNS }, (_, k) => turns.subarray(k * POINTS, (k + 1) * POINTS))
  const kind = twoMeans(component)
  const level = rows.map((row) => inDb(row.reduce((sum, v) => sum + v * v, 0) / POINTS))
  const byPeak = twoMeans(rows.map((row) => row.reduce((most, v) => Math.max(most, Math.abs(v)), 0)))
  const same = byPeak.filter((k, i) => k === kind[i]).length / WINDOW_TURNS
  const [one, other] = [0, 1].map((which) => level.filter((_, i) => kind[i] === which))
  return {
    halfDb: inDb((foldEnergy(turns, 2) - full) / full),
    thirdDb: inDb((foldEnergy(turns, 3) - full) / full),
    fourthDb: inDb((foldEnergy(turns, 4) - foldEnergy(turns, 2)) / full),
    repeat: repeatShare(turns),
    lag: [1, 2, 3, 4].map((lag) => lagCorrelation(component, lag)),
    share,
    gapDb: Math.abs(mean(one!) - mean(other!)),
    scatterDb: (spread(one!) + spread(other!)) / 2,
    peakAgreement: Math.max(same, 1 - same),
    firstOrderDb: firstOrder(turns),
  }
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
  return inDb(powers[0]! / Math.max(...powers))
}

const inDb = (ratio: number): number => 10 * Math.log10(Math.max(1e-9, ratio))
