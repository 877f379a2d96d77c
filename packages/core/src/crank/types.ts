/** A continuous run of the engine: the crank cannot jump inside it, so its multiple is chosen once for all of it. */
export interface Stretch {
  readonly startS: number
  readonly endS: number
  /** True when another multiple of the speed explains the sound nearly as well. */
  readonly ambiguous: boolean
  /** The other reading as a factor on the speed (0.5, 2, 1.5 …), or null. */
  readonly alternativeFactor: number | null
  /** Chance that the reading given is right, 0–1. */
  readonly readingProbability: number
}

/**
 * Crank speed over time; columns of equal length k.
 *
 * @example
 * const { speed } = analyze(toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav'))))
 * speed.stretches // [{ startS: 0, endS: 7.2, ambiguous: false }]
 * speed.timeS.length // 450
 * Math.round(speed.speedRpm[225] / 100) // 47
 */
export interface SpeedTrack {
  /** Frame times, seconds, evenly spaced. */
  readonly timeS: Float64Array
  /** Crank speed, rpm; NaN where no engine is heard. */
  readonly speedRpm: Float64Array
  /** Chance that the crank turns at this speed, 0–1; 0 where no engine is heard. */
  readonly speedProbability: Float32Array
  readonly stretches: readonly Stretch[]
}

/**
 * What the ear said of a piece of sound, read along the best path through the crank speeds: a sixth of its size, so that
 * hours can be kept. Frame k of the fine columns is one millisecond, frame j of the others sixteen.
 */
export interface Trace {
  /** Fine frames, n. */
  readonly frames: number
  /** Crank speed as a bin of the ear, between bins too; NaN where no engine is heard; length ⌈n / 16⌉. */
  readonly bin: Float32Array
  /** Chances of the crank speeds about each of the `READINGS` of the path, row by row. */
  readonly mass: Float32Array
  /** Chances that an engine runs, and with the throttle closed, 0–1. */
  readonly engine: Float32Array
  readonly coasting: Float32Array
  /** Phase of the crank in steps of 1 / `PHASE_STEPS`, length n. */
  readonly cosine: Int8Array
  readonly sine: Int8Array
  /** Log-odds that the present turn fired, in steps of 1 / `LOGIT_STEPS`, length n. */
  readonly fired: Int8Array
  /** Level of the sound from 30 to 4,000 Hz, half decibels above -126 dB re full scale, length n. */
  readonly level: Uint8Array
}

/** Every turn of the crank; columns of equal length m. */
export interface Turns {
  /** Start, seconds, strictly increasing; and length, seconds. */
  readonly startS: Float64Array
  readonly durationS: Float64Array
  /** Crank speed of the turn, rpm, > 0: a mean over the turns about it. */
  readonly speedRpm: Float64Array
  /** Index of the stretch that the turn belongs to. */
  readonly stretch: Int32Array
}

/** The crank as it was read. */
export interface Crank {
  readonly turns: Turns
  readonly speed: SpeedTrack
  /** Chance that an engine is heard at all, 0–1; null where no speed is. */
  readonly engine: number | null
}
