import type { Pattern } from '../labels/types.js'

/** Options of {@link compare}. */
export interface CompareOptions {
  /** Smallest change of the misfire ratio worth noticing, as a share of turns, above 0 and below 1. */
  readonly worth?: number
  /** True when all clips were recorded by one phone at one place and one fixed gain: loudness is compared then. */
  readonly sameGain?: boolean
}

/** Seen from the rider: fewer skipped turns help. */
export type CompareVerdict = 'helped' | 'worse' | 'same' | 'unclear' | 'not-comparable'

/** Codes of {@link Reason}. */
export const REASON_CODES = [
  'no-engine', // one side holds no clip with a measured engine
  'cannot-tell', // an engine, but hardly a turn of it can be judged
  'holes', // an engine, but the recorder lost some of its sound
  'other-running', // idle against pulling against steady
  'other-speed', // crank speeds do not overlap
  'too-few-turns', // what both have in common is too short
  'speed-open', // twice or half the crank speed fits as well
  'speed-settled', // it does, and the other side's speed was taken
  'speed-multiple', // one side's speed is a multiple of the other's
  'poor-side', // the recording of one side alone can hide skips
  'on-both-sides', // one recording before and after
  'counted-once', // one recording twice on a side
  'pass-left-out', // one clip of several could not be used
  'one-pass', // nothing shows how far passes of an unchanged engine differ
  'passes-differ', // they differ more than their lengths explain
  'which-fires', // many turns can be heard either way
  'hidden-turns', // noise or levelling hides many turns
  'poor-recording', // what is in the way in the worst clip of a side
  'small-change', // surely a change, and surely too small to be worth noticing
  'more-needed', // the interval is too wide for a verdict
  'cannot-settle', // more clips like these would not settle it
] as const
export type ReasonCode = (typeof REASON_CODES)[number]

/** Why the verdict is what it is, and what to record next. */
export interface Reason {
  readonly code: ReasonCode
  /** One plain sentence. */
  readonly message: string
  /** One plain sentence on what to do; null where nothing needs doing. */
  readonly advice: string | null
}

/** A figure with its 95 % interval; null where it cannot be told. */
export interface Estimate {
  readonly value: number | null
  readonly low: number | null
  readonly high: number | null
}

/** One figure on both sides and its change, after minus before. */
export interface Compared {
  readonly before: number | null
  readonly after: number | null
  /** The interval is null with fewer than two clips on a side that have the figure. */
  readonly change: Estimate
}

/** One side; where the sides are comparable, in their common mix of running and speeds, else as each ran. */
export interface ComparedSide {
  /** Share of skipped turns, 0–1. */
  readonly misfireRatio: number | null
  /** 95 %, 0–1. */
  readonly interval: { readonly low: number; readonly high: number } | null
  /** Clips used, of those given. */
  readonly passes: number
  readonly given: number
  /** Judged turns, and seconds of running they are, in the clips used. */
  readonly turns: number
  readonly runningS: number
  /** Share of the judged turns of which nothing is known, 0–1. */
  readonly unknown: number
  /** Median crank speed, rpm. */
  readonly speedRpm: number | null
  /** Share of the turns in each pattern, 0–1; null without turns. */
  readonly patterns: Readonly<Record<Pattern, number>> | null
}

/** What it would take to come to a verdict if the change stays as heard. */
export interface ToSettle {
  /** More clips on each side, and their seconds of running together. */
  readonly passes: number
  readonly runningS: number
}

/** Before against after. */
export interface Comparison {
  /** The ear that all clips were listened to with. */
  readonly earVersion: string
  readonly verdict: CompareVerdict
  readonly reasons: readonly Reason[]
  /** The margin of `same`, share of turns. */
  readonly worth: number
  /** Change of the misfire ratio, after minus before, −1 to 1. */
  readonly change: Estimate
  /** Chance that the engine skips less after than before, 0–1; null where not comparable. */
  readonly chanceBetter: number | null
  /** Smallest change these clips would have shown in four of five cases, share of turns. */
  readonly smallestChange: number | null
  /** The same with one more clip like these on each side. */
  readonly smallestWithOneMore: number | null
  /** Null where a verdict is given, where the sides are not comparable, and where more of the same would not help. */
  readonly toSettle: ToSettle | null
  /** Share of running both sides have in common, by kind and crank speed, 0–1; null without an engine on both. */
  readonly overlap: number | null
  readonly before: ComparedSide
  readonly after: ComparedSide
  /** How much louder a firing after a skip is than a steady firing of the same clip, dB. */
  readonly pop: Compared
  /** Unevenness of speed in steady running, as a share of the speed. */
  readonly unevenness: Compared
  /** A-weighted level while running, dB re full scale; null unless all clips share one gain. */
  readonly loudness: Compared | null
}
