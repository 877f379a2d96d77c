/** What the exit code tells a script. `main.ts` alone sets it. */
export const EXIT = {
  /** The question was answered. */
  done: 0,
  /** A limit the caller asked for was passed. */
  limitPassed: 1,
  /** Wrong usage, a file that cannot be read, or an answer or file that could not be written whole. */
  usage: 2,
  /** The file was read but could not be judged: no engine, or too poor a recording. */
  notJudged: 3,
  /** The terminal went away; what a shell reports for SIGHUP. */
  hungUp: 129,
  /** Stopped by Ctrl-C before it was done; what a shell reports for SIGINT. */
  interrupted: 130,
  /** Asked to end by the system; what a shell reports for SIGTERM. */
  terminated: 143,
} as const

export type ExitCode = (typeof EXIT)[keyof typeof EXIT]

/** An error together with the file it is about, so that one line can name both. */
export class FileError extends Error {
  readonly file: string

  constructor(file: string, cause: unknown) {
    super(cause instanceof Error ? cause.message : String(cause), { cause })
    this.name = 'FileError'
    this.file = file
  }
}
