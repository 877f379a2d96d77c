import type { Drive, EngineSpec } from './engine/index.js'

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
