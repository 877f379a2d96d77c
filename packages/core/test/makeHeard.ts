import {
  BINS_PER_OCTAVE,
  FRAME_RATE_HZ,
  SPEED_BINS,
  SPEED_FRAMES,
  SPEED_LOW_HZ,
} from '../src/ear/constants.js'
import type { Heard } from '../src/ear/types.js'

/** What a made-up engine does and how surely the ear hears it; no sound behind it, so stages after the ear are tested alone. */
export interface HeardWish {
  readonly durationS: number
  /** Turns a second at a time; null where no engine runs. */
  readonly speedHz: (timeS: number) => number | null
  /** Whether the turn with this number fires. */
  readonly fires?: (turn: number) => boolean
  /** Log-odds of a firing turn and, with a minus, of another; 3 by default. */
  readonly surenessLogit?: number
  /** Chances of other readings of the speed at a time, as pairs of factor and chance; none by default. */
  readonly otherReadings?: (timeS: number) => readonly (readonly [number, number])[]
  /** Multiple of the speed that the phase is told of at a time; 1 by default. */
  readonly phaseFactor?: (timeS: number) => number
  /** Log-odds of an engine at a time where one runs, with a minus elsewhere; 4 by default. */
  readonly engineLogit?: number | ((timeS: number) => number)
  readonly coasting?: (timeS: number) => boolean
}

/** Outputs of an ear that knows the truth, with the starts of the turns. */
export function makeHeard(wish: HeardWish): { heard: Heard; startS: readonly number[] } {
  const { durationS, speedHz, fires = () => true, surenessLogit = 3, engineLogit = 4 } = wish
  const frames = Math.round(durationS * FRAME_RATE_HZ)
  const column = (): Float32Array => new Float32Array(frames)
  const fine = { cosine: column(), sine: column(), fired: column(), engine: column(), coasting: column() }
  const startS: number[] = []
  let angle = 0
  let turn = -1
  for (let i = 0; i < frames; i++) {
    const timeS = (i + 0.5) / FRAME_RATE_HZ
    const hz = speedHz(timeS)
    const engine = typeof engineLogit === 'number' ? engineLogit : engineLogit(timeS)
    fine.engine[i] = hz === null ? -engine : engine
    fine.coasting[i] = wish.coasting?.(timeS) ? 4 : -4
    if (hz === null) continue
    const before = angle
    angle += hz / FRAME_RATE_HZ
    if (Math.floor(angle) > turn) {
      turn = Math.floor(angle)
      startS.push((i + (turn - before) / (angle - before)) / FRAME_RATE_HZ)
    }
    const phase = 2 * Math.PI * ((before + angle) / 2) * (wish.phaseFactor?.(timeS) ?? 1)
    fine.cosine[i] = 0.9 * Math.cos(phase)
    fine.sine[i] = 0.9 * Math.sin(phase)
    fine.fired[i] = fires(turn) ? surenessLogit : -surenessLogit
  }
  return {
    heard: { startS: 0, frames, speed: makeSpeed(wish, Math.ceil(frames / SPEED_FRAMES)), ...fine },
    startS,
  }
}

/** Rows of log-chances: three bins about every reading, the rest spread over all. */
function makeSpeed({ speedHz, otherReadings }: HeardWish, rows: number): Float32Array {
  const width = SPEED_BINS + 1
  const speed = new Float32Array(rows * width)
  for (let t = 0; t < rows; t++) {
    const timeS = ((t + 0.5) * SPEED_FRAMES) / FRAME_RATE_HZ
    const hz = speedHz(timeS)
    const chances = new Float64Array(width).fill(0.001 / width)
    const others = otherReadings?.(timeS) ?? []
    const own = 0.999 - others.reduce((sum, [, chance]) => sum + chance, 0)
    if (hz === null) chances[SPEED_BINS]! += own
    else
      for (const [factor, chance] of [[1, own] as const, ...others]) {
        const place = BINS_PER_OCTAVE * Math.log2((hz * factor) / SPEED_LOW_HZ)
        for (let b = Math.ceil(place - 1.5); b < place + 1.5; b++)
          if (b >= 0 && b < SPEED_BINS) chances[b]! += (chance * (1 - Math.abs(b - place) / 1.5)) / 1.5
      }
    const sum = chances.reduce((total, chance) => total + chance, 0)
    speed.set(
      chances.map((chance) => Math.log(chance / sum)),
      t * width,
    )
  }
  return speed
}
