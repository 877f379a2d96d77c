import { WAVE_BANDS } from '../bands/constants.js'
import { median } from '../math/stats.js'
import type { RunTurns } from './index.js'

/** Energy that repeats from turn to turn against energy that does not, dB, best waveform band; null without turns. */
export function pulseToNoiseDb(runs: readonly RunTurns[]): number | null {
  if (runs.length === 0) return null
  const bands = WAVE_BANDS.map((band) => {
    const ratios: number[] = []
    for (const run of runs) {
      const r = run.residuals[band]!
      for (let n = 0; n < r.turns; n++)
        ratios.push(10 * Math.log10((r.meanEnergy[n]! + 1e-20) / (r.residualEnergy[n]! + 1e-20)))
    }
    return median(ratios)
  })
  return Math.max(...bands)
}
