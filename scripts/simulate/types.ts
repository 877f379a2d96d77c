/** How the engine fires while a span lasts. The names give the share of turns that fire. */
export type RunState =
  | 'clean'
  | 'alternate'
  | 'two-of-three'
  | 'three-of-four'
  | 'third'
  | 'fourth'
  | 'irregular'
  | 'continuum'
  | 'idle'
  | 'coasting'

export interface RunSpan {
  /** Seconds from the start of the clip; the span lasts to the next one. */
  readonly startS: number
  readonly state: RunState
  /** 0 closed, 1 wide open: how much charge there is, so how loud the ports are. */
  readonly throttle: number
}

/** What the rider does: the speed wanted and the way of firing. */
export interface Drive {
  /** `[time in seconds, crank turns a second]`, straight lines between, times rising. */
  readonly knots: readonly (readonly [number, number])[]
  readonly spans: readonly RunSpan[]
  /** Hunting: depth as a share of the speed, and how often a second. */
  readonly huntDepth: number
  readonly huntHz: number
  /** Turn-to-turn speed jitter, standard deviation as a share of the speed. */
  readonly jitter: number
  readonly startS: number
  readonly endS: number
}

export interface Resonance {
  readonly hz: number
  readonly q: number
  /** Linear, against the direct sound. */
  readonly gain: number
}

export interface Ping extends Resonance {
  /** Where in the turn, 0–1 from top dead centre. */
  readonly phase: number
}

/** One engine. Phases are shares of a turn after top dead centre, gains linear. */
export interface Engine {
  /** Exhaust opening after a burn: a steep front. */
  readonly blowdown: {
    readonly phase: number
    readonly gain: number
    readonly riseS: number
    readonly decayTurn: number
    /** Depth of the rarefaction behind the front. */
    readonly tail: number
    /** Extra strength after one skipped turn (fresh charge). */
    readonly pop: number
    /** Ignition scatter, share of a turn. */
    readonly scatter: number
    /** Gas sucked back into the cylinder when nothing burnt, against `gain`. */
    readonly suck: number
  }
  /** Ports opening on the pumped charge: in every turn, burnt or not. */
  readonly pump: {
    readonly phase: number
    readonly gain: number
    readonly riseS: number
    readonly widthTurn: number
    readonly second: number
    readonly secondPhase: number
    readonly ringHz: number
    readonly ring: number
  }
  readonly intake: {
    readonly phase: number
    readonly gain: number
    readonly widthTurn: number
    readonly delayS: number
  }
  readonly pings: readonly Ping[]
  readonly chain: { readonly perTurn: number; readonly gain: number }
  /** Jet noise: level in every turn and what a burn adds, edges in Hz. */
  readonly flow: {
    readonly gain: number
    readonly burnt: number
    readonly lowHz: number
    readonly highHz: number
  }
  readonly pipe: {
    readonly resonances: readonly Resonance[]
    readonly direct: number
    readonly lengthS: number
    readonly reflection: number
    readonly lossHz: number
  }
  readonly muffler: { readonly cutHz: number; readonly bypass: number; readonly radiateHz: number }
  /** Rings in the gas that come out differently in every turn: each at its own phase, with a strength drawn anew. */
  readonly eddies: {
    readonly gain: number
    readonly rings: readonly { readonly phase: number; readonly hz: number }[]
  }
  /** Speed gained in a burning turn at 100 turns a second, share. */
  readonly surge: number
  /** Level scatter within one kind of turn, dB (standard deviation), its shape scatter (share) and memory (−1 to 1). */
  readonly scatterDb: number
  readonly shapeScatter: number
  readonly shapeMemory: number
}

export interface Place {
  /** Reverberation: level of the tail against the direct sound (dB), its time in seconds; null outdoors in the open. */
  readonly echo: { readonly levelDb: number; readonly tailS: number; readonly firstS: number } | null
  /** A pass-by: nearest distance, speed, time of passing; null when it stands. */
  readonly passBy: { readonly nearestM: number; readonly speedMs: number; readonly atS: number } | null
  /** Upper edge left by distance or cloth, Hz; null when near. */
  readonly lowpassHz: number | null
}

export type NoiseKind =
  | 'hiss'
  | 'wind'
  | 'rain'
  | 'tarpaulin'
  | 'car'
  | 'hum'
  | 'speech'
  | 'music'
  | 'rattle'
  | 'clock'

export interface Noise {
  readonly kind: NoiseKind
  /** Level of this sound below the engine (dB rms against rms); below full scale when there is no engine. */
  readonly belowDb: number
}

export interface Phone {
  readonly lowHz: number
  readonly highHz: number
  /** Final loudness, dB re full scale (rms). */
  readonly levelDbfs: number
  readonly leveller: { readonly attackS: number; readonly releaseS: number; readonly strength: number } | null
  readonly suppressor: { readonly depthDb: number; readonly followS: number } | null
  /** Clip at this many times the rms; null when nothing clips. */
  readonly clipAt: number | null
  /** Codec-like coarseness: mask-to-noise distance in dB (small is coarse); null for none. */
  readonly codec: { readonly marginDb: number; readonly highHz: number } | null
}

export interface Scenario {
  readonly name: string
  readonly durationS: number
  readonly rateHz: number
  /** null: a clip without an engine. */
  readonly engine: Engine | null
  readonly drive: Drive
  readonly place: Place
  readonly noises: readonly Noise[]
  readonly phone: Phone
}

/** Label codes of {@link Truth}, the first three of the tool's own table. */
export const TRUTH_LABELS = ['fired', 'skipped', 'partial'] as const

/** What really happened, one entry per whole turn inside the clip; times are as heard at the microphone. */
export interface Truth {
  /** Top dead centre that opens the turn, seconds; the exhaust of its burn opens about 0.3 turns later. */
  readonly turnStartS: Float64Array
  readonly turnEndS: Float64Array
  /** When the exhaust opens in that turn, seconds. */
  readonly pulseS: Float64Array
  /** Crank speed of the turn at the engine (a pass-by is heard up to 4 % off it), rpm. */
  readonly speedRpm: Float64Array
  /** Share of the charge burnt, 0–1. */
  readonly burn: Float32Array
  /** {@link TRUTH_LABELS} code. */
  readonly label: Uint8Array
  readonly state: readonly string[]
  /** NaN without an engine. */
  readonly engineStartS: number
  readonly engineEndS: number
}

export interface Simulation {
  readonly samples: Float32Array
  readonly rateHz: number
  readonly truth: Truth
}
