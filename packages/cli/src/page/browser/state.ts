import type { Processing } from '../texts.js'
import type {
  ClipAnswer,
  CompareAnswer,
  Expected,
  LiveAnswer,
  LoggedAs,
  LogView,
  NextAnswer,
  Plan,
  Refusal,
  Side,
  SoFar,
  Span,
  SumsState,
  Units,
} from '../types.js'
import type { KeptLog } from './database.js'
import type { Draft } from './draft.js'

export type ClipStatus =
  | { readonly kind: 'waiting' }
  | { readonly kind: 'reading' }
  | {
      readonly kind: 'listening'
      readonly lengthS: number
      readonly startedMs: number
      readonly expectS: number
    }
  | { readonly kind: 'refused'; readonly refusal: Refusal }
  | { readonly kind: 'heard'; readonly answer: ClipAnswer }

export interface Clip {
  readonly id: string
  readonly name: string
  readonly side: Side
  readonly status: ClipStatus
  /** The sound, to hear it again; null where there was no room to keep it. */
  readonly sound: Blob | null
  /** The part of the sound that is heard; null for all of it. */
  readonly span: Span | null
  /** Length of all of the sound, seconds; null before it was read. */
  readonly wholeS: number | null
  /** Recorded here, so that this may be the only copy. */
  readonly recorded: boolean
  /** Where it was kept in a trial; null where it was not. */
  readonly logged: LoggedAs | null
}

export interface RecordingState {
  readonly side: 'before' | 'after'
  readonly phase: 'opening' | 'running' | 'ending'
  readonly lengthS: number
  /** Root mean square and peak of the last block, linear. */
  readonly rms: number
  readonly peak: number
  /** Samples at full scale in the last few seconds. */
  readonly isCut: boolean
  readonly leftOn: readonly Processing[]
  readonly notTold: readonly Processing[]
  readonly live: LiveAnswer | null
  /** By the last of the longer looks. */
  readonly soFar: SoFar | null
  /** False where the browser may let the screen go dark. */
  readonly isAwake: boolean
}

export interface LogState extends KeptLog {
  readonly view: LogView
}

/** A log that is kept but cannot be read; its text is all there is of it. */
export interface DamagedLog extends KeptLog {
  /** What is wrong with it, in one line. */
  readonly why: string
}

export interface State {
  readonly ready: boolean
  /** False where the browser keeps nothing for this page. */
  readonly keeps: boolean
  /** Whether the browser promised never to clear what it keeps; null until it has answered. */
  readonly isPromised: boolean | null
  readonly clips: readonly Clip[]
  readonly addAs: 'before' | 'after'
  readonly comparison: { readonly answer: CompareAnswer } | { readonly refused: Refusal } | null
  readonly recording: RecordingState | null
  readonly logs: readonly LogState[]
  readonly damagedLogs: readonly DamagedLog[]
  /** Photos of trials by `photoKey`. */
  readonly photos: ReadonlyMap<string, Blob>
  /** Engine of the log that is shown. */
  readonly engine: string | null
  readonly expected: Expected
  readonly units: Units
  /** Smallest change worth noticing, share of turns. */
  readonly worth: number
  /** What was done last, for everyone to see and for screen readers to say. */
  readonly said: string
  /** What screen readers say besides: answers, which the eye finds in their place. */
  readonly spoken: string
  readonly isWrong: boolean
  /** Takes back what was done last; null where that cannot be taken back. */
  readonly undo: (() => void) | null
  /** The trial that is being filled in; null where no form is open. */
  readonly draft: Draft | null
  /** What stands in place of the usual page. */
  readonly view: 'trial' | 'next' | null
  /** Whether the sums of the bench are looked at, with all the rest as it was behind them. */
  readonly isAtBench: boolean
  /** What to try next; null while it is thought about. */
  readonly next: NextAnswer | null
  readonly sums: SumsState
  /** The change that was chosen to be tried next. */
  readonly planned: Plan | null
}

/** A value that tells its readers when it changes. */
export class Store {
  #state: State
  readonly #readers = new Set<() => void>()

  constructor(first: State) {
    this.#state = first
  }

  get state(): State {
    return this.#state
  }

  set(change: Partial<State>): void {
    this.#state = { ...this.#state, ...change }
    for (const read of this.#readers) read()
  }

  /** Says what was done. @param undo takes it back */
  say(said: string, undo: (() => void) | null = null): void {
    this.set({ said, undo, isWrong: false })
  }

  /** Says what went wrong. */
  complain(said: string): void {
    this.set({ said, undo: null, isWrong: true })
  }

  changeClip(id: string, change: Partial<Clip>): void {
    this.set({ clips: this.#state.clips.map((clip) => (clip.id === id ? { ...clip, ...change } : clip)) })
  }

  read(reader: () => void): void {
    this.#readers.add(reader)
  }
}
