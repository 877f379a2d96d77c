/** Slowest and fastest crank speed searched, Hz: 1,080 to 16,800 rpm, a margin around 1,200 to 15,000. Derived. */
export const LOWEST_HZ = 18
export const HIGHEST_HZ = 280
/** Speed steps an octave: 1.45 % apart. Derived: half the 3 % wanted. */
export const BINS_PER_OCTAVE = 48
export const BINS = Math.ceil(Math.log2(HIGHEST_HZ / LOWEST_HZ) * BINS_PER_OCTAVE) + 1
/** Time between frames of the speed track, seconds. */
export const HOP_S = 0.02
/** Span over which lag products are summed before windows are laid over them: half a frame. */
export const CELL_S = HOP_S / 2

/** A window length, the speeds it serves, and the relative slopes of the crank tried in it (per second). */
export interface WindowPlan {
  readonly lengthS: number
  readonly fromHz: number
  readonly toHz: number
  readonly chirps: readonly number[]
  /** Cells added up before the window is laid over them; longer windows need less detail in time. */
  readonly merge: number
}
/** Fitted by hand on open recordings: at least four turns in every window, at most ten. */
export const WINDOWS: readonly WindowPlan[] = [
  { lengthS: 0.4, fromHz: LOWEST_HZ, toHz: 48, chirps: [-0.8, 0, 0.8], merge: 4 },
  { lengthS: 0.2, fromHz: 36, toHz: 104, chirps: [-2.5, -1.2, 0, 1.2, 2.5], merge: 2 },
  { lengthS: 0.11, fromHz: 80, toHz: HIGHEST_HZ, chirps: [-3, -1.5, 0, 1.5, 3], merge: 1 },
]
/** Periods looked at on either side of zero lag. */
export const PERIODS = 4

export function binHz(bin: number): number {
  return LOWEST_HZ * 2 ** (bin / BINS_PER_OCTAVE)
}
/** Span over which a channel is levelled before the speed is searched in it. Fitted by hand. */
export const CHANNEL_LEVEL_S = 0.3
