/** What the crank is doing; one word per turn in {@link SecondTruth.state}. */
export type RunState =
  | 'every-turn'
  | 'every-other'
  | 'every-third'
  | 'two-of-three'
  | 'every-fourth'
  | 'irregular'
  | 'partial'
  | 'idle'
  | 'coasting'

/** A span of one kind of running, in force until the next span starts. */
export interface DriveSpan {
  readonly startS: number
  readonly state: RunState
  /**
   * How many scavengings after a burn the charge must have seen before it lights, 0 and up. 0.5 lights every turn,
   * 1.5 every other, 2.5 every third; near a whole number the outcome is irregular; 99 never lights.
   */
  readonly demand: number
  /** Standard deviation of chance in the same unit, per turn. */
  readonly spread: number
  /** Width of the step from not burning to burning, same unit: small is all or nothing, large gives partial burns. */
  readonly softness: number
  /** Free area of the carburettor as a share of the intake pipe, 0–1. */
  readonly throttle: number
  /** Burnt fractions that are forced, repeated turn by turn; absent where firing follows from the charge. */
  readonly forced?: readonly number[]
  /** Chance per turn that a forced pattern slips by one turn. */
  readonly slip?: number
}

/** What the rider and the road do. Speed is linear between knots. */
export interface Drive {
  readonly knots: readonly { readonly timeS: number; readonly speedHz: number }[]
  readonly spans: readonly DriveSpan[]
  /** Slow swing of the speed, as a share of it, and its frequency. */
  readonly hunting: { readonly depth: number; readonly frequencyHz: number }
  /** The crank turns from here … */
  readonly startS: number
  /** … to here. */
  readonly stopS: number
}

/** Everything about the machine that stays the same over a clip. SI units, angles in degrees after top dead centre. */
export interface EngineSpec {
  readonly boreM: number
  readonly strokeM: number
  readonly rodRatio: number
  readonly compression: number
  readonly exhaustOpensDeg: number
  readonly transferOpensDeg: number
  readonly intakeClosesDeg: number
  readonly intake: 'piston-port' | 'reed'
  readonly crankcaseRatio: number
  readonly sparkDeg: number
  readonly burnDeg: number
  readonly inertiaKgM2: number
  readonly exhaustTemperatureK: number
  /** Exhaust bore along its length: [length m, diameter m, loss per metre] joined by cones. */
  readonly exhaust: readonly (readonly [number, number, number])[]
  readonly intakeLengthM: number
  readonly intakeDiameterM: number
  /** Strength of turbulence in port and outlet. */
  readonly hiss: number
  /** Level of structure-borne sound against the gas, linear. */
  readonly mechanics: number
  /** Resonances of castings and sheet metal: frequency Hz and quality. */
  readonly modes: readonly (readonly [number, number])[]
  readonly fanBlades: number
}

export interface Placing {
  readonly kind: 'open' | 'street' | 'shed' | 'pass-by'
  readonly distanceM: number
  /** Speed of a pass-by, m/s; 0 elsewhere. */
  readonly passSpeedMps: number
  /** Moment of closest approach of a pass-by, s. */
  readonly passTimeS: number
}

/** Foreign sounds; each level is dB re the engine, -Infinity for none. */
export interface Ambience {
  readonly hissDb: number
  readonly rumbleDb: number
  readonly windDb: number
  readonly carDb: number
  readonly speechDb: number
  readonly humDb: number
  readonly rattleDb: number
  readonly rustleDb: number
}

export interface Phone {
  readonly highpassHz: number
  readonly lowpassHz: number
  /** Cloth over the microphone: corner of a steep low-pass, Infinity for none. */
  readonly clothHz: number
  /** Levelling: 0 none to 1 all level differences slower than the release removed. */
  readonly levelling: number
  readonly releaseS: number
  /** Noise suppressor: how far quiet moments are pushed down, dB >= 0. */
  readonly gateDb: number
  /** Microphone overload: drive into the limit, 0 none; 1 reaches it at peaks. */
  readonly overload: number
  readonly levelDbfs: number
  /** Recorded rate is the inner rate divided by this whole number. */
  readonly decimation: number
}

export interface SecondScenario {
  readonly name: string
  readonly durationS: number
  /** Inner rate, samples per second. */
  readonly innerRateHz: number
  readonly engine: EngineSpec
  readonly drive: Drive
  /** Wanted difference in level (30–4,000 Hz) of fired turns against skipped neighbours, dB. */
  readonly contrastDb: number
  readonly placing: Placing
  readonly ambience: Ambience
  readonly phone: Phone
}

/** Truth by turn; columns of equal length. A turn runs from one opening of the exhaust port to the next, as heard. */
export interface SecondTruth {
  readonly turnStartS: Float64Array
  readonly turnEndS: Float64Array
  /** Crank speed at the engine; in a pass-by the turn as heard is shorter or longer than 60 / speedRpm. */
  readonly speedRpm: Float64Array
  /** Share of the charge burnt just before the turn began, 0–1. */
  readonly burn: Float32Array
  /** 0 fired (above 0.9), 1 skipped (below 0.1), 2 partial. */
  readonly label: Uint8Array
  readonly state: readonly string[]
  readonly engineStartS: number
  readonly engineEndS: number
}

export interface SecondClip {
  readonly samples: Float32Array
  readonly rateHz: number
  readonly truth: SecondTruth
}
