import { TURN_BANDS } from '../src/bands/constants.js'
import { seededRandom } from '../src/math/random.js'
import type { CutBand } from '../src/turns/cut.js'
import type { RunTurns } from '../src/turns/index.js'
import { residualBand } from '../src/turns/vectors.js'

/** Made-up turns in the shape the cutter hands on; no sound behind them, so stages after it can be tested alone. */
export interface RunWish {
  /** Kind of every turn: 0 or 1. */
  readonly kinds: readonly number[]
  /** How far the pictures of the kinds differ, as a share of the picture all turns share. */
  readonly difference?: number
  /** Rms of fresh noise against the shared picture. */
  readonly noise?: number
  /** Factor on all sound of a turn of kind 1. */
  readonly gain?: number
  readonly speedHz?: number
  readonly seed?: number
}

/** Cuts of all bands: a shared picture, a second one added in step with the kind, and noise; rms about 1. */
export function makeCuts(wish: RunWish): CutBand[] {
  const { kinds, difference = 0.5, noise = 0.1, gain = 1, seed = 1 } = wish
  const random = seededRandom(seed)
  return TURN_BANDS.map(({ points }, band) => {
    const values = new Float32Array(kinds.length * points)
    kinds.forEach((kind, n) => {
      for (let p = 0; p < points; p++) {
        const angle = (2 * Math.PI * (p + 0.5)) / points
        // Orders 2 and 5 share no energy, so depths and separations follow from the wish.
        const shared = Math.SQRT2 * Math.sin(2 * angle + band)
        const own = Math.SQRT2 * Math.sin(5 * angle + 2 * band)
        const fresh = Math.sqrt(12) * (random() - 0.5)
        values[n * points + p] =
          (kind ? gain : 1) * (shared + (kind - 0.5) * 2 * difference * own + noise * fresh)
      }
    })
    return { points, turns: kinds.length, values }
  })
}

/** A run of {@link makeCuts} at one speed; the level of a turn is that of its first band. */
export function makeRun(wish: RunWish): RunTurns {
  const { kinds, speedHz = 100 } = wish
  const cuts = makeCuts(wish)
  const { points, values } = cuts[0]!
  const startS = Float64Array.from({ length: kinds.length + 1 }, (_, n) => n / speedHz)
  return {
    run: {
      timeS: startS,
      speedHz: new Float64Array(startS.length).fill(speedHz),
      salience: new Float64Array(startS.length).fill(1),
      candidates: [{ factor: 1, evidence: 1 }],
      rival: null,
    },
    startS,
    cuts,
    residuals: cuts.map(residualBand),
    level: Float64Array.from(kinds, (_, n) =>
      Math.sqrt(values.subarray(n * points, (n + 1) * points).reduce((sum, v) => sum + v * v, 0) / points),
    ),
  }
}

/** Kinds of `count` turns of which every `period`-th is of kind `lone`. */
export function every(period: number, count: number, lone = 1): number[] {
  return Array.from({ length: count }, (_, n) => (n % period === 0 ? lone : 1 - lone))
}
