/** What the fuzzer's process is asked for. */
export interface FuzzJob {
  readonly path: string
  readonly isLog: boolean
}

/** What it answers. `told` is what standard error would have got; null where there is an answer. */
export interface FuzzAnswer {
  readonly told: string | null
  readonly isBug: boolean
  /** What else is wrong; null where nothing is. */
  readonly problem: string | null
  readonly peakMb: number
}

/** An answer, or how the process ended instead of giving one. */
export type Outcome = (FuzzAnswer | { readonly died: string }) & { readonly tookS: number }
