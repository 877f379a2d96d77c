import type { Change, Trial } from '../types.js'
import type { DoRule } from './rules.js'

/** What to do next. */
export interface Suggestion {
  readonly rule: string
  /**
   * `halt` for an engine in danger, and then nothing else is said; `change` one knob, go `back`, `separate` changes made at
   * once, `repeat` the last trial, `return` to the best one, `record`, `measure-head`, `write-down` settings, `check` a
   * part, `wait`, `leave` it, `stop`.
   */
  readonly kind: DoRule['do'] | 'change' | 'halt'
  /** Weight after what the log has seen; larger is better, comparable within one answer only. */
  readonly score: number
  /** What to do, one sentence, where the kind does not say it. */
  readonly say: string | null
  /** The single change, from the best setting; null when nothing is changed. */
  readonly change: Change | null
  /** What to turn first to be at the best setting; empty when the engine stands there. */
  readonly first: readonly Change[]
  /** Trial of the setting the suggestion starts from; null before anything was heard. */
  readonly from: Trial | null
  /** By what it does to the engine as it stands now, `first` included. */
  readonly leaner: boolean
  readonly hotter: boolean
  /** What in the log it rests on, plain sentences. */
  readonly evidence: readonly string[]
  readonly why: string
  readonly look: string
  readonly source: string
  /** Passes to record. */
  readonly passes: number
}
