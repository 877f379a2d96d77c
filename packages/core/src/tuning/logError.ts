import { AnalysisError } from '../errors.js'

/** A log that cannot be read as it is; the place is counted from 1. */
export class LogError extends AnalysisError {
  readonly line: number
  readonly column: number
  /** What is wrong, without the place. */
  readonly problem: string

  constructor(line: number, column: number, message: string, hint?: string) {
    super('damaged-log', `line ${line}, column ${column}: ${message}`, hint)
    this.line = line
    this.column = column
    this.problem = message
  }
}

/** Line and column, from 1, of a path into a log, or of what holds it. */
export type PlaceOf = (path: readonly (string | number)[]) => {
  readonly line: number
  readonly column: number
}
