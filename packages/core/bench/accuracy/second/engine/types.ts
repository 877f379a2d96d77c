/** What the crank is doing; one word per turn. */
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

/** What leaves the machine, before it is placed anywhere; the three sounds share one length, in samples. */
export interface EngineRun {
  /** Rate of change of the outlet's mass flow, kg/s²: the sound pressure of a small source. */
  readonly exhaust: Float32Array
  /** The same at the mouth of the intake. */
  readonly intake: Float32Array
  /** Structure-borne sound: combustion pressure and piston slap through the castings, Pa/s. */
  readonly mechanics: Float32Array
  /** Sample position at which the exhaust port opens, one per turn plus the last one; not whole numbers. */
  readonly opening: number[]
  /** Share of the charge burnt just before each opening, 0–1. */
  readonly burn: number[]
  /** What the crank was doing at each opening. */
  readonly state: RunState[]
}
