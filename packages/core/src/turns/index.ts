import { TURN_BANDS } from '../bands/constants.js'
import type { Bands } from '../bands/index.js'
import type { SpeedRun } from '../speed/index.js'
import { type CutBand, cutTurns, type TurnStarts } from './cut.js'
import { soundingTurns } from './ends.js'
import { turnStarts } from './grid.js'
import { type ResidualBand, residualBand } from './vectors.js'

export type { CutBand, TurnStarts } from './cut.js'

/** Bands whose phases pull the grid into step: what repeats best on real engines. */
export const GRID_BANDS: readonly number[] = [0, 1, 3, 4, 5, 6]
const LEVEL_POINTS = 64

/** The turns of one continuous run. */
export interface RunTurns {
  readonly run: SpeedRun
  /** Length turns + 1. */
  readonly startS: TurnStarts
  /** In the order of TURN_BANDS. */
  readonly cuts: readonly CutBand[]
  /** What the turns of each band do not have in common with their neighbours. */
  readonly residuals: readonly ResidualBand[]
  /** Root mean square of each turn, 30 to 3,600 Hz, linear. */
  readonly level: Float64Array
}

/**
 * Cuts a run into turns; null when it holds fewer than `fewest`.
 *
 * @example
 * const bands = hearBands(Float32Array.from({ length: 32000 }, (_, i) => Math.sin((2 * Math.PI * 80 * i) / 16000)), 16000)
 * const timeS = Float64Array.from({ length: 101 }, (_, k) => k / 50)
 * const run = { timeS, speedHz: timeS.map(() => 80), salience: timeS, candidates: [], rival: null }
 * const { startS, level } = cutRun(run, bands)
 * startS[41] - startS[40] // 0.0125
 * level[40] // 0.71
 */
export function cutRun(run: SpeedRun, bands: Bands, fewest = 8): RunTurns | null {
  const allS = turnStarts(
    run.timeS,
    run.speedHz,
    GRID_BANDS.map((i) => bands.turns[i]!),
    'calm',
  )
  if (allS.length <= fewest) return null
  const allLevels = turnLevels(bands, allS)
  const { first, end } = soundingTurns(allLevels)
  if (end - first < fewest) return null
  const startS = allS.slice(first, end + 1)
  const cuts = bands.turns.map((signal, i) => cutTurns(signal, startS, TURN_BANDS[i]!.points))
  return { run, startS, cuts, residuals: cuts.map(residualBand), level: allLevels.slice(first, end) }
}

function turnLevels(bands: Bands, startS: TurnStarts): Float64Array {
  const whole = cutTurns(bands.level, startS, LEVEL_POINTS)
  return Float64Array.from({ length: whole.turns }, (_, n) => {
    let sum = 0
    for (let p = 0; p < LEVEL_POINTS; p++) sum += whole.values[n * LEVEL_POINTS + p]! ** 2
    return Math.sqrt(sum / LEVEL_POINTS)
  })
}
