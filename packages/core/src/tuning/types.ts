/** What a knob stands at: a number with its unit, or words. */
export interface KnobValue {
  /** As the log writes it, without the knob's name: `3 from bottom`, `18 deg`, `drilled`. */
  readonly text: string
  /** In the knob's base unit; null for words. */
  readonly value: number | null
}

/** One knob turned from one value to another. */
export interface Change {
  readonly knob: string
  /** Null where the log does not say. */
  readonly from: KnobValue | null
  readonly to: KnobValue
}

/** Values of all knobs that are known, by name of the knob. */
export type Setting = ReadonlyMap<string, KnobValue>

/** How the rider found the engine to pull against the trial before. */
export type Pull = 'better' | 'same' | 'worse'

/**
 * What one clip said when it was added: the share of skipped turns in steady running (all judged running where there is
 * none) and what a comparison needs of it later, without the clip. Shares 0–1.
 */
export interface LoggedClip {
  readonly clip: string
  readonly running: 'steady' | 'mixed'
  /** Median crank speed of that running, rpm. */
  readonly rpm: number
  readonly turns: number
  /** Misfire ratio with its 95 % interval. */
  readonly skipped: number
  readonly low: number
  readonly high: number
  /** How many independent turns it is worth as a sample of how the engine runs: few where skips come in runs. */
  readonly independent: number
  /** Lowest and highest share under every believable reading of the sound. */
  readonly readings: readonly [number, number]
  /** Pattern most turns are in. */
  readonly pattern: string
  /** Misfire ratio while pulling, 0–1; null or absent where it did not pull or it cannot be told. */
  readonly pulling?: number | null | undefined
  /** How much louder a firing after a skip is than a steady one, dB; null or absent where either is missing. */
  readonly popDb?: number | null | undefined
  /** Longest run of skipped turns. */
  readonly longestRun?: number | null | undefined
  /** Median crank speed of the skipped turns, rpm. */
  readonly skipRpm?: number | null | undefined
}

/** What went wrong on a ride, as far as it matters for what may be tried: see {@link parseTrouble}. */
export type TroubleKind = 'none' | 'seized' | 'rattle' | 'smoke' | 'pull' | 'other'

export interface Trouble {
  readonly kind: TroubleKind
  /** As the rider wrote it. */
  readonly words: string
}

/** One entry of the log. */
export interface Trial {
  /** 1, 2, … in order. */
  readonly number: number
  /** `2026-04-03`. */
  readonly date: string
  /** Empty for a repeat, or the first trial: the engine as built. */
  readonly changes: readonly Change[]
  /** All knobs after the changes. */
  readonly setting: Setting
  readonly clips: readonly string[]
  readonly heard: readonly LoggedClip[]
  readonly airC: number | null
  readonly headC: number | null
  /** Null where the log does not say. */
  readonly warm: boolean | null
  readonly pull: Pull | null
  /** Pull against the first trial. */
  readonly pullFirst: Pull | null
  /** `none` says that it was looked for, or mended; null where the log does not say, or only denies. */
  readonly trouble: Trouble | null
  readonly runningIn: boolean
  /** Whether it skips under pull as well: as the rider says, else as the clips do; null where neither tells. */
  readonly underPull: boolean | null
  readonly noise: string | null
  readonly load: string | null
  readonly weather: string | null
  readonly note: string | null
  /** Line of the file it begins in, from 1. */
  readonly line: number
}

/** The engine as built; lengths in mm, null where the log does not say. */
export interface EngineBuild {
  readonly name: string
  readonly boreMm: number | null
  readonly strokeMm: number | null
  readonly rodMm: number | null
  readonly shaftMm: number | null
  readonly keyWidthMm: number | null
  readonly rotation: 'clockwise' | 'anticlockwise' | null
  readonly primary: number | null
  readonly sprockets: readonly [engineTeeth: number, wheelTeeth: number] | null
  /** Roll-out of the wheel, mm. */
  readonly rollOut: { readonly value: number; readonly plusMinus: number } | null
  readonly slip: number
  /** Diameter of the flywheel's rim, mm. */
  readonly flywheelMm: number | null
  /** Notches of the needle, 5 where the log does not say. */
  readonly notches: number
  /** Head limit, °C, and whether it is the maker's (false: common practice). */
  readonly headLimitC: number
  readonly limitIsMakers: boolean
}

export interface TuningLog {
  readonly engine: EngineBuild
  readonly trials: readonly Trial[]
  /** Trials taken back by `undo`, kept as they were. */
  readonly undone: number
  /** Unit the person writes temperatures in. */
  readonly unit: 'C' | 'F'
}

/** Something in a log that is worth a look but does not stop the work. */
export interface LogWarning {
  readonly code: WarningCode
  /** Trial it is about; null for the file. */
  readonly trial: number | null
  /** One plain sentence with what to do. */
  readonly message: string
}

export type WarningCode =
  | 'two-changes'
  | 'big-step'
  | 'cold'
  | 'no-clip'
  | 'unknown-knob'
  | 'too-hot'
  | 'near-limit'
  | 'trouble'
  | 'said-trouble'
  | 'undone-trouble'
  | 'no-head'
  | 'from-differs'
  | 'same-knob'
  | 'date-before'
  | 'beyond-bounds'
  | 'no-timing'
  | 'not-heard'
  | 'edited'
  | 'unsealed'
