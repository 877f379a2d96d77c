/** A continuous run of the engine: the crank cannot jump inside it, so octave questions are settled once for all of it. */
export interface Stretch {
  readonly startS: number
  readonly endS: number
  /** True when another multiple of the speed explains the sound nearly as well. */
  readonly ambiguous: boolean
  /** The other reading as a factor on the speed (0.5, 2, 1.5 …), or null. */
  readonly alternativeFactor: number | null
  /** Chance that the reading given is right, 0–1. */
  readonly confidence: number
}

/**
 * Crank speed over time; columns of equal length k.
 *
 * @example
 * const { speed } = analyze(toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav'))))
 * speed.stretches // [{ startS: 0, endS: 7.2, ambiguous: false }]
 * speed.timeS.length // 361
 * Math.round(speed.speedRpm[180] / 100) // 47
 */
export interface SpeedTrack {
  /** Frame times, seconds, evenly spaced. */
  readonly timeS: Float64Array
  /** Crank speed, rpm; NaN where no engine is heard. */
  readonly speedRpm: Float64Array
  /** Strength of the periodicity, 0 to about 2; 0 where there is none. */
  readonly salience: Float32Array
  readonly stretches: readonly Stretch[]
}
