import type { Analysis, CompareVerdict, Hindrance, Ratio } from '@everyrev/core'
import type { StripSlice } from '../render/strip.js'

/** Which side of the change a clip stands on; `aside` counts on neither. */
export type Side = 'before' | 'after' | 'aside'

/** Speeds the engine can be expected to run at, rpm; null where the rider does not say. */
export type Expected = readonly [low: number, high: number] | null

/** Units the rider writes and reads. */
export interface Units {
  readonly temperature: '°C' | '°F'
  readonly speed: 'km/h' | 'mph'
}

/** An analysis without its samples: what is kept of a clip and compared later. */
export type KeptAnalysis = Analysis

/** A share in large letters. */
export interface Figure {
  /** `13 %`; `17 to 78 %` where it is too vague for one number; null where it cannot be told. */
  readonly value: string | null
  /** `between 8 and 17 %`; null where the value is the span itself, or there is none. */
  readonly interval: string | null
}

/** A part of a sound, seconds from its start. */
export interface Span {
  readonly fromS: number
  readonly toS: number
}

/** Turns of a clip; columns of equal length. */
export interface ClipTurns {
  readonly timeS: Float64Array
  readonly durationS: Float64Array
  /** Codes of `LABELS`. */
  readonly label: Uint8Array
}

/** What the page shows of a clip that was heard. */
export interface ClipAnswer {
  readonly verdict: Analysis['verdict']
  /** Sentences, most important first. */
  readonly sentences: readonly string[]
  readonly remarks: readonly string[]
  readonly strip: readonly StripSlice[]
  /** Slowest and fastest turn of the running engine, rpm; null where there is none. */
  readonly speedRange: readonly [slowestRpm: number, fastestRpm: number] | null
  /** Rows of cells, a head row first. */
  readonly segments: readonly (readonly string[])[]
  /** Share of skipped turns in steady running, or in all judged running where there is none. */
  readonly figure: Figure
  /** What a log keeps of the clip, to find it there again; null where there is nothing to keep. */
  readonly mark: string | null
  /** The figure `check --json` calls misfireRatio. */
  readonly misfireRatio: Ratio
  readonly rpm: number | null
  readonly durationS: number
}

/** A refusal in words: what was found, and the way out. */
export interface Refusal {
  readonly message: string
  readonly hint: string | null
}

export type Outcome<T> = { readonly ok: T } | { readonly refused: Refusal }

/** What reading a file came to: its sound is there, or the browser has to decode it. */
export type ReadOutcome =
  | { readonly kind: 'sound'; readonly lengthS: number }
  | { readonly kind: 'undecoded'; readonly rateHz: number; readonly name: string }
  | { readonly kind: 'refused'; readonly refusal: Refusal }

export interface HeardClip {
  readonly answer: ClipAnswer
  readonly kept: KeptAnalysis
  /** How long the analysis took, seconds. */
  readonly tookS: number
}

export interface CompareAnswer {
  readonly verdict: CompareVerdict
  readonly sentences: readonly string[]
  /** Both sides, a head row first. */
  readonly rows: readonly (readonly string[])[]
  readonly reasons: readonly string[]
  readonly caution: string | null
}

/** What is heard of a recording that is still going on. */
export interface LiveAnswer {
  readonly lengthS: number
  readonly engine: boolean
  readonly rpm: number | null
  readonly hindrances: readonly {
    readonly code: Hindrance
    readonly message: string
    readonly advice: string
  }[]
  /** What the whole of it says so far; null between the rarer, longer looks. */
  readonly soFar: SoFar | null
}

/** The recording up to now, a minute of it at most. */
export interface SoFar {
  /** What is still lacking. */
  readonly needed: StillNeeded
  /** Null where no engine is measured yet. */
  readonly figure: Figure | null
  readonly strip: readonly StripSlice[]
  readonly lengthS: number
}

export interface StillNeeded {
  /** One or two sentences. */
  readonly text: string
  /** True when nothing more is needed. */
  readonly settled: boolean
  /** More seconds that would do, if all stays as heard; null where no number can be given. */
  readonly moreS: number | null
}

/** A clip that was kept in a trial. */
export interface LoggedAs {
  readonly engine: string
  /** What the log of that engine calls it. */
  readonly as: string
}

/** A trial as the page lists it. */
export interface TrialView {
  readonly number: number
  readonly date: string
  readonly changed: string
  readonly skipped: string
  readonly verdict: string
  readonly head: string
  readonly air: string
  readonly pull: string
  readonly engine: 'warm' | 'cold' | ''
  /** In the rider's words. */
  readonly trouble: string | null
  readonly clips: readonly string[]
  /** See {@link ClipAnswer.mark}. */
  readonly marks: readonly string[]
  readonly note: string | null
  readonly warnings: readonly string[]
}

export interface LogView {
  readonly engine: string
  readonly sentences: readonly string[]
  readonly trials: readonly TrialView[]
  /** What every knob stands at now, as far as the log says, by its name. */
  readonly stands: Readonly<Record<string, string>>
  readonly warnings: readonly string[]
  readonly caution: string
  /** What it knows of the sums, by their part and option. */
  readonly sums: Readonly<Record<string, Readonly<Record<string, string | undefined>>>>
  /** Shares and heads by trial, an SVG of ours; null without trials. */
  readonly chart: string | null
}

/** One thing to do next. */
export interface NextStep {
  readonly say: string
  /** What in the log it rests on. */
  readonly evidence: readonly string[]
  readonly why: string
  readonly look: string
  readonly source: string
  /** True where it is followed by a ride to record. */
  readonly isRidden: boolean
  /** What it turns, in order; none where it only rides again. */
  readonly changes: readonly SuggestedChange[]
}

/** A step that was chosen, to be made and recorded. */
export interface Plan {
  /** The engine that it was suggested for. */
  readonly engine: string
  /** As it was suggested. */
  readonly say: string
  readonly changes: readonly SuggestedChange[]
}

/** A change that is suggested. */
export interface SuggestedChange {
  readonly knob: string
  readonly from: string
  readonly to: string
}

export interface NextAnswer {
  /** Best first. */
  readonly steps: readonly NextStep[]
  /** Passes to record. */
  readonly passes: number
  readonly caution: string
}

/** What is to be corrected in a trial; an empty text takes it out of the log. */
export interface TrialEdits {
  readonly head?: string
  readonly air?: string
  readonly engine?: string
  readonly pull?: string
  readonly trouble?: string
  readonly note?: string
}

/** What the form for a trial asks for; empty texts are left out of the log. */
export interface TrialForm {
  /** Knobs turned since the trial before, as the log writes them; mostly one. */
  readonly change: readonly string[]
  readonly air: string
  readonly head: string
  readonly engine: 'warm' | 'cold' | ''
  readonly pull: 'better' | 'same' | 'worse' | ''
  /** What went wrong; `none` once its cause is mended. */
  readonly trouble: string
  readonly note: string
}

export interface LogOutcome {
  readonly text: string
  readonly view: LogView
  /** What was done, in one sentence. */
  readonly said: string
  /** What screen readers say besides: what the eye finds in the log. */
  readonly spoken?: string
}

/** A log with trials added to it. */
export interface AddedOutcome extends LogOutcome {
  /** What the clips that went in are called there, by their ids on the page. */
  readonly names: ReadonlyMap<string, string>
}

/** What was typed into a field of a sum, and the unit chosen for it. */
export interface Typed {
  readonly text: string
  readonly unit: string
}

/** What was typed into the sums, by their part. */
export type SumsState = Readonly<
  Record<string, { readonly way?: string; readonly typed?: Readonly<Record<string, Typed>> } | undefined>
>
