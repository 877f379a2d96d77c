/** Label codes of `Revolutions.label`, in this order. */
export const LABELS = ['fired', 'skipped', 'partial', 'unsure'] as const
export type Label = (typeof LABELS)[number]
/** Places in {@link LABELS}. Derived. */
export const FIRED = 0
export const SKIPPED = 1
export const PARTIAL = 2
export const UNSURE = 3

/** Running patterns, in words of the trade. `cannot-tell` is an answer of its own. */
export type Pattern =
  | 'every-turn'
  | 'every-other'
  | 'every-third'
  | 'every-fourth'
  | 'irregular'
  | 'cannot-tell'

/**
 * Every turn of the crank while an engine is heard; columns of equal length m.
 *
 * @example
 * const { revolutions } = analyze(toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav'))))
 * revolutions.timeS.length // 561
 * Array.from(revolutions.label.slice(0, 4), (code) => LABELS[code]) // ['fired', 'skipped', 'fired', 'skipped']
 * PATTERNS[revolutions.pattern[100]] // 'every-other'
 */
export interface Revolutions {
  /** Start of the turn, seconds from the start of the recording, strictly increasing. */
  readonly timeS: Float64Array
  /** Length of the turn, seconds. */
  readonly durationS: Float64Array
  /** Crank speed of the turn, rpm. */
  readonly speedRpm: Float64Array
  /** {@link LABELS} code. */
  readonly label: Uint8Array
  /** Probability that the turn fired, 0–1; 0.5 where nothing is known. */
  readonly firedProbability: Float32Array
  /** Lowest and highest believable chance that the turn fired; 0 and 1 where it cannot be told. */
  readonly firedLow: Float32Array
  readonly firedHigh: Float32Array
  /** Pattern code of the state the turn belongs to: index into {@link PATTERNS}. */
  readonly pattern: Uint8Array
  /** Loudness of the turn, root mean square of 30–4,000 Hz, linear. */
  readonly level: Float32Array
  /** Index of the continuous stretch the turn belongs to; a new stretch starts after a gap. */
  readonly stretch: Int32Array
  /** Chance that an engine turns here at this speed, 0–1. */
  readonly speedProbability: Float32Array
  /** Chance that the throttle is closed, 0–1: then firing cannot be told from not firing. */
  readonly coasting: Float32Array
}

export const PATTERNS: readonly Pattern[] = [
  'every-turn',
  'every-other',
  'every-third',
  'every-fourth',
  'irregular',
  'cannot-tell',
]
/** {@link PATTERNS} code of `cannot-tell`. */
export const CANNOT_TELL = PATTERNS.indexOf('cannot-tell')
