import type { Recording } from '../src/decode/types.js'
import { seededRandom } from '../src/math/random.js'

/** A made-up engine: one port pulse in every turn, of one shape where the turn fires and another where it does not. */
export interface EngineWish {
  /** Whether the turn with this number fires. */
  readonly fires: (turn: number) => boolean
  readonly durationS?: number
  readonly rateHz?: number
  /** Mean speed, turns a second; it wanders by 3 % and is never constant. */
  readonly speedHz?: number
  /** Rms of noise against full scale. */
  readonly noise?: number
  readonly seed?: number
}

/** Sound of {@link EngineWish} as a recording, peak about 0.3. */
export function makeEngine(wish: EngineWish): Recording {
  const { fires, durationS = 4, rateHz = 16000, speedHz = 90, noise = 0.003, seed = 9 } = wish
  const random = seededRandom(seed)
  const samples = new Float32Array(Math.round(durationS * rateHz))
  let angle = 0
  let turn = 0
  let openedS = 0
  let strength = 0.15
  for (let i = 0; i < samples.length; i++) {
    const timeS = i / rateHz
    angle += (speedHz * (1 + 0.03 * Math.sin(4 * timeS) + 0.01 * Math.sin(17 * timeS))) / rateHz
    if (Math.floor(angle) > turn) {
      turn = Math.floor(angle)
      openedS = timeS
      strength = 0.15 * (0.95 + 0.1 * random())
    }
    const t = timeS - openedS
    const ring = (hz: number, decay: number) => Math.exp(-t * decay) * Math.sin(2 * Math.PI * hz * t)
    const hiss = Math.exp(-t * 400) * (random() - 0.5)
    // The port opens in every turn; a burnt charge leaves it steeply, with crack and hiss.
    const port = ring(230, 250) + 0.5 * ring(520, 250) + 0.3 * ring(1000, 300) + 0.2 * hiss
    const burnt = 0.7 * ring(330, 200) + 0.6 * ring(760, 250) + 0.5 * ring(1400, 300) + 0.5 * hiss
    const shape = fires(turn) ? port + burnt : port
    samples[i] = strength * shape + noise * Math.sqrt(12) * (random() - 0.5)
  }
  return { samples, rateHz, notes: [] }
}
