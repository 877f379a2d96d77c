import type { TurnFeatures, TurnListener } from './turnFeatures.js'

/**
 * What the ear says of a piece of sound, before anything is read from it.
 *
 * Frame k of the fine columns stands for the time from `startS + k / FRAME_RATE_HZ` on, one millisecond long; frame j of
 * `speed` for `SPEED_FRAMES` of them.
 */
export interface Heard {
  /** Time of the first frame, seconds from the start of the recording. */
  readonly startS: number
  /** Fine frames, n. */
  readonly frames: number
  /**
   * Natural logarithms of the chances of the crank speeds, row by row: `SPEED_BINS` speeds, then "no engine"; length
   * ⌈n / SPEED_FRAMES⌉ · (SPEED_BINS + 1).
   */
  readonly speed: Float32Array
  /** Phase of the crank as a point on the unit circle or within it, length n; angle 0 where the exhaust pulse arrives. */
  readonly cosine: Float32Array
  readonly sine: Float32Array
  /** Log-odds that the present turn fired, that an engine runs, that it runs with the throttle closed; length n. */
  readonly fired: Float32Array
  readonly engine: Float32Array
  readonly coasting: Float32Array
}

/** A trained ear. */
export interface Ear {
  /** Name of the weights: `VERSION-HASH`, for answers and caches. */
  readonly version: string
  /**
   * Listens to a piece of sound as a whole.
   *
   * @param samples length m at 16,000 Hz, finite
   * @returns outputs for every whole or begun millisecond: `frames = ⌈m / 16⌉`
   */
  listen(samples: Float32Array, startS?: number): Heard
  /**
   * Makes ready to tell what the turns of a sound are judged by, until this or `listen` is called again.
   *
   * @param sound      at 16,000 Hz, one sample at least
   * @param firedLogit log-odds that the present turn fired, one a millisecond, as `listen` gives them
   */
  hearTurns(sound: Float32Array, firedLogit: Float32Array): TurnListener
  /**
   * Judges turns by their neighbours and their likes: what a single turn leaves open, the many tell.
   *
   * @param features of a run of turns, see {@link hearTurns}
   * @returns log-odds that each turn fired
   */
  judgeTurns(features: TurnFeatures): Float32Array
}
